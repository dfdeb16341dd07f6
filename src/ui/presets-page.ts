/**
 * The presets page: on the left the list with its cursor, on the right what the preset under the
 * cursor would make of the last chord, with each voice's way there from what sounds.
 */
import type { ChordReport } from '../live/snapshot.ts';
import { wantingLines } from './given-up.ts';
import { grandStaff } from './grand-staff.ts';
import { type Look, signsOf } from './look.ts';
import {
  cursorPlace,
  listShown,
  listsOf,
  presetAtCursor,
  presetsShown,
  shownPlaceThatPlays,
} from './shelf.ts';
import type { PresetLine, StageModel } from './stage-model.ts';
import { cutTo, type Span, widthOf, withAccidentals, wrapWords } from './text.ts';
import { typedSpans } from './typed-text.ts';
import type { View } from './view.ts';
import { windowStart } from './window.ts';

type Lines = readonly (readonly Span[])[];

const plainLine = (text: string): readonly Span[] => [{ text }];

function headingOf(look: Look, model: StageModel, view: View, width: number): Lines {
  const { title, name, ids } = listShown(model, view);
  const isOnStage = name === (model.listOnStage ?? '');
  const more = listsOf(model).length > 1 ? '  l: next' : '';
  const about = `${ids.length}${isOnStage ? ', on stage' : ''}${more}`;
  // A long name is read whole; what is said of it goes into a line of its own.
  const isShort = widthOf(title) + widthOf(about) + 2 <= width;
  const heading: Lines = isShort
    ? [
        [
          { text: title, tone: 'strong' },
          { text: `  ${about}`, tone: 'quiet' },
        ],
      ]
    : [
        ...wrapWords(title, width).map((text): readonly Span[] => [{ text, tone: 'strong' }]),
        [{ text: about, tone: 'quiet' }],
      ];
  const isSearching = view.typing?.purpose === 'search';
  const search = isSearching || view.search !== '' ? `search: ${view.search}` : '';
  return [
    ...heading,
    [
      { text: search, tone: 'strong' },
      { text: isSearching ? '_' : '' },
      {
        text: search === '' ? `${signsOf(look).favourite} favourite   * your own` : '',
        tone: 'quiet',
      },
    ],
  ];
}

/** Columns before a name: the cursor, its marks, what plays. */
const listMargin = 5;

/** Columns of the list: the longest name in it can be read whole, as far as the preview has room. */
export function presetListWidth(model: StageModel, view: View, inner: number): number {
  const longest = presetsShown(model, view).reduce(
    (most, { name }) => Math.max(most, widthOf(name)),
    0,
  );
  const usual = Math.min(44, Math.floor(inner * 0.46));
  return Math.max(usual, Math.min(listMargin + longest, Math.floor(inner * 0.5)));
}

function listLine(
  look: Look,
  preset: PresetLine,
  isCursor: boolean,
  isPlaying: boolean,
  width: number,
): readonly Span[] {
  const signs = signsOf(look);
  const marks = `${preset.isFavourite ? signs.favourite : ' '}${preset.isOwn ? '*' : ' '}`;
  const word = '  plays';
  const room = width - listMargin;
  const hasWord = isPlaying && widthOf(preset.name) + widthOf(word) <= room;
  const playing = hasWord ? word : '';
  const name = cutTo(look, preset.name, room - widthOf(playing));
  return [
    { text: isCursor ? `${signs.pointRight} ` : '  ', tone: 'strong' },
    { text: marks, tone: 'quiet' },
    { text: isPlaying && !hasWord ? signs.plays : ' ', tone: 'sounding' },
    { text: name, tone: isCursor ? 'strong' : 'plain' },
    { text: playing, tone: 'sounding' },
  ];
}

export function presetListLines(
  look: Look,
  model: StageModel,
  view: View,
  width: number,
  rows: number,
): Lines {
  const shown = presetsShown(model, view);
  const heading = headingOf(look, model, view, width);
  const place = cursorPlace(model, view);
  const room = rows - heading.length;
  const start = windowStart(shown.length, room, place);
  const playing = shownPlaceThatPlays(model, view);
  if (shown.length === 0) {
    const empty = view.search === '' ? 'Nothing in this list yet.' : 'No preset has these words.';
    return [...heading, [{ text: empty, tone: 'quiet' }]];
  }
  const lines = shown
    .slice(start, start + room)
    .map((preset, row) =>
      listLine(look, preset, start + row === place, start + row === playing, width),
    );
  return [...heading, ...lines];
}

function voicesInOneLine(look: Look, preview: ChordReport): string {
  return preview.sent.voices
    .map((voice) => withAccidentals(look, `${voice.name} ${voice.degree}`))
    .join('  ');
}

/** What the preset would do; a staff as well where there are rows for one. */
export function previewLines(
  look: Look,
  model: StageModel,
  view: View,
  width: number,
  rows: number,
): Lines {
  const preset = presetAtCursor(model, view);
  if (preset === undefined) return [];
  const about = wrapWords(preset.about, width).map(plainLine);
  const name = wrapWords(preset.name, width);
  const head: Lines = [
    ...name.map((text): readonly Span[] => [{ text, tone: 'strong' }]),
    ...about,
    [],
  ];
  const last = model.state.snapshot.chords.at(-1);
  const preview = model.previewOf?.(preset.id);
  if (last === undefined || preview === undefined) {
    const words = last === undefined ? 'Play a chord to see what this preset makes of it.' : '';
    return [...head, ...wrapWords(words, width).map(plainLine)];
  }
  const from = withAccidentals(look, last.heard.symbol) || signsOf(look).dash;
  const to = withAccidentals(look, preview.sent.symbol) || signsOf(look).dash;
  const result: Lines = [
    [
      { text: `${from} ${signsOf(look).becomes} `, tone: 'quiet' },
      { text: to, tone: 'strong' },
    ],
    ...wrapWords(withAccidentals(look, preview.sent.label), width).map(plainLine),
    ...wantingLines(preview.sent, width).map((text): readonly Span[] => [
      { text: withAccidentals(look, text), tone: 'caution' },
    ]),
  ];
  const staffRows = rows - head.length - result.length;
  const { snapshot } = model.state;
  const staff =
    staffRows >= 11
      ? grandStaff(
          look,
          { ...snapshot, chords: [last, preview], isChordSounding: false },
          width,
          staffRows,
        )
      : [[{ text: voicesInOneLine(look, preview) }]];
  return [...head, ...result, ...staff];
}

/** The line at the foot of the page while a name is typed. */
export function namingSpans(look: Look, view: View): readonly Span[] | undefined {
  const { typing } = view;
  if (typing?.purpose !== 'copy' && typing?.purpose !== 'setlist') return undefined;
  const ask = typing.purpose === 'copy' ? 'name of the copy' : 'name of the setlist';
  return [
    { text: `${ask}: `, tone: 'quiet' },
    ...typedSpans(look, typing, 60),
    {
      text: typing.isSelected
        ? '   Return: take it; Esc: not now'
        : '   Return: done; Esc: not now',
      tone: 'quiet',
    },
  ];
}
