/**
 * The page as sentences, for a screen reader: no drawing, no columns, words for signs. Only what is
 * new is told (teller.ts), so each line says one thing.
 */
import type { ChordReport } from '../live/snapshot.ts';
import { chartAtCursor, chartPlace, chartsOf } from './charts/chart-list.ts';
import { guidanceHint } from './first-hint.ts';
import { functionNow } from './function-now.ts';
import { wantingOf } from './given-up.ts';
import { cautions } from './help/cautions.ts';
import { rowPlace, rowsOf } from './keys/forms-keys.ts';
import { keyLabel } from './keys/key-label.ts';
import { keysIn } from './keys/keys.ts';
import type { Look } from './look.ts';
import { chordsOf, placeOf } from './look-back.ts';
import { motions } from './motion.ts';
import { aboutPreset, placeThatPlays, presetBeside } from './preset-choice.ts';
import { cursorPlace, listShown, presetsShown } from './preset-lists.ts';
import type { FormName, StageModel } from './stage-model.ts';
import { oneLine } from './text.ts';
import type { View } from './view.ts';
import { isForNextTime } from './when-played-next.ts';

/** 'Bbm7/Db' → 'B flat minor 7 over D flat'; '#11' → 'sharp 11'. */
export function inWords(text: string): string {
  return text
    .replace(
      /(?<![A-Za-z])([A-G])(bb|##|b|#)?(?=$|[^a-z]|m|maj|dim|aug|sus|add|b)/g,
      accidentalWord,
    )
    .replace(/(?<![A-Za-z])(b|#)(?=\d)/g, (sign) => (sign === 'b' ? ' flat ' : ' sharp '))
    .replace(/ ?maj(?=\d|$|\W)/g, ' major ')
    .replace(/(?<=[A-G] |flat |sharp )m(?=\d|$|\W)/g, ' minor ')
    .replace(/\/(?=[A-G])/g, ' over ')
    .replace(/\s+/g, ' ')
    .replace(/ (?=[,.;:)]|$)|(?<=\() /g, '')
    .trim();
}

function accidentalWord(_: string, letter: string, sign: string | undefined): string {
  const word = sign === undefined ? '' : sign.startsWith('b') ? ' flat' : ' sharp';
  const twice = sign !== undefined && sign.length === 2 ? ' double' : '';
  return `${letter}${twice}${word} `;
}

function motionWord(motion: number | undefined): string {
  if (motion === undefined) return '';
  if (motion === 0) return ', stays';
  return motion > 0 ? `, up ${motion}` : `, down ${-motion}`;
}

function chordSentences(before: ChordReport | undefined, chord: ChordReport): readonly string[] {
  const { heard, sent, played } = chord;
  const notes = heard.notes.map((note) => inWords(note.name)).join(', ');
  const symbol = heard.symbol === '' ? 'No chord by name' : `Heard ${inWords(heard.symbol)}`;
  const moved = motions(before, chord);
  const voices = sent.voices
    .map((voice, place) => {
      const degree = voice.degree === '' ? '' : ` as ${inWords(voice.degree)}`;
      return `${inWords(voice.name)}${degree}${motionWord(moved[place])}`;
    })
    .toReversed();
  const wanting = inWords(wantingOf(sent));
  const gaveUp = wanting && ` ${wanting.charAt(0).toUpperCase()}${wanting.slice(1)}.`;
  return [
    `${symbol}: ${notes}.`,
    played === undefined
      ? `${isForNextTime(chord) ? 'When played next, sounds' : 'Sounds'} ${inWords(sent.symbol) || 'as played'}, ${inWords(sent.label)}.${gaveUp}`
      : `Sounds as played, ${inWords(sent.label)}.`,
    `From the top: ${voices.join('; ')}.`,
  ];
}

export function stageSentences(model: StageModel): readonly string[] {
  const { snapshot } = model.state;
  const last = snapshot.chords.at(-1);
  const name = model.presets[placeThatPlays(model)]?.name ?? snapshot.preset;
  const next = presetBeside(model, 1)?.name ?? '';
  const { numeral = '', role = '' } =
    (last === undefined ? undefined : functionNow(model, last)) ?? {};
  const place = [inWords(numeral.replace('/', ' of ')), role].filter(Boolean).join(', ');
  const key = snapshot.key === '' ? 'No key' : `Key ${inWords(snapshot.key)}`;
  return [
    ...(last === undefined ? [guidanceHint(model)] : chordSentences(snapshot.chords.at(-2), last)),
    ...(snapshot.isListening === true ? ['Listening: nothing is revoiced.'] : []),
    `${key}${place === '' ? '' : `, function ${place}`}.`,
    `Preset ${name}: ${withFullStop(aboutPreset(model))} Next: ${next}.`,
  ];
}

function presetSentences(model: StageModel, view: View): readonly string[] {
  const shown = presetsShown(model, view);
  const place = cursorPlace(model, view);
  const preset = shown[place];
  const list = listShown(model, view).title;
  if (preset === undefined) return [`List ${list}: nothing here.`];
  const preview = model.previewOf?.(preset.id);
  const marks = `${preset.isFavourite ? ', favourite' : ''}${preset.isOwn ? ', your own' : ''}`;
  return [
    `List ${list}.`,
    `${preset.name}, ${place + 1} of ${shown.length}${marks}. ${withFullStop(preset.about)}`,
    ...(preview === undefined
      ? []
      : [`It would make ${inWords(preview.sent.symbol)}, ${inWords(preview.sent.label)}.`]),
  ];
}

function formSentences(form: FormName, model: StageModel, view: View): readonly string[] {
  const rows = rowsOf(form, model);
  const row = rows[rowPlace(rows, view.row[form])];
  if (row === undefined) return [];
  const state = row.isLearning ? ' Waiting.' : '';
  const said = row.problem ?? `${row.bounds === undefined ? '' : `${row.bounds}. `}${row.help}`;
  return [`${row.label}: ${inWords(row.value)}.${state}`, withFullStop(said)];
}

function chordsSentences(model: StageModel, view: View): readonly string[] {
  const chords = chordsOf(model);
  const place = placeOf(model, view.chordsBack);
  const chord = chords[place];
  if (chord === undefined) return ['No chord yet.'];
  const other = chord.heard.runnerUp;
  return [
    `Chord ${place + 1} of ${chords.length}.`,
    ...chordSentences(chords[place - 1], chord),
    other === '' ? 'No other reading.' : `Other reading: ${inWords(other)}.`,
  ];
}

function chartSentences(model: StageModel, view: View): readonly string[] {
  const { files, opened, folder, aboutOf } = chartsOf(model);
  const file = chartAtCursor(model, view);
  if (file === undefined) return [`No chart in ${folder}.`];
  const place = `${chartPlace(model, view) + 1} of ${files.length}`;
  const about = aboutOf(file);
  if (about === undefined) return [`${file}, ${place}.`];
  if ('problem' in about) return [`${file}, ${place}.`, withFullStop(about.problem)];
  const what = [about.title, about.words, inWords(about.facts)].filter((each) => each !== '');
  return [`${file}, ${place}${file === opened ? ', open' : ''}.`, `${what.join(', ')}.`];
}

function pageSentences(model: StageModel, view: View): readonly string[] {
  switch (view.page) {
    case 'stage':
      return stageSentences(model);
    case 'chords':
      return chordsSentences(model, view);
    case 'charts':
      return chartSentences(model, view);
    case 'set-up':
      return formSentences('set-up', model, view);
    case 'presets':
      return view.isEditing && model.editor !== undefined
        ? [`Editing ${model.editor.title}.`, ...formSentences('preset', model, view)]
        : presetSentences(model, view);
  }
}

/** Every line ends as a sentence does: a reader's voice falls there, and pauses. */
export function withFullStop(text: string): string {
  const line = oneLine(text).trim();
  return line === '' || /[.!?…]$/.test(line) ? line : `${line}.`;
}

/** The help page: what each key does, the arrows by their names. */
function helpSentences(model: StageModel, view: View): readonly string[] {
  const plain: Look = { hasColour: false, hasUnicode: false };
  const isEditing = view.isEditing && model.editor !== undefined;
  const keys = keysIn(model.mode, { page: view.page, isEditing }).map((row) => {
    const label = keyLabel(plain, row, model.bindings).replace('/', ' and ').replace('-', ' to ');
    return `${label}: ${row.help}`;
  });
  return [`Help. Keys of the page ${view.page}`, ...keys, ...cautions, 'h closes the help'];
}

export function spokenLines(model: StageModel, view: View): readonly string[] {
  const { typing } = view;
  const asked = typing?.purpose === 'stroke' ? 'Press the new key.' : `Typed: ${typing?.text}`;
  const gone = model.state.ports.filter((port) => !port.isOpen);
  return [
    `Page ${view.page}.`,
    ...(view.isHelpOpen ? helpSentences(model, view) : pageSentences(model, view)),
    ...(typing === undefined ? [] : [asked, typing.problem ?? '']),
    ...gone.map((port) => `Port ${port.name} is gone.`),
    ...(view.unsaved === undefined
      ? []
      : [
          'Changes are not saved yet. Press w to save and go, d to drop them, another key to stay.',
        ]),
    ...(view.isLeaving ? ['Press q again to leave.'] : []),
    view.hint,
    model.message,
    model.state.notice,
  ]
    .map(withFullStop)
    .filter((line) => line !== '');
}
