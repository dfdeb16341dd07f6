/**
 * A chart as text again: the same form, its comments, each symbol in the one form Handspan writes.
 * What is written here reads back as the same chart (parse.ts).
 */

import { spellInKey } from '../harmony/chord/spelling.ts';
import { isSameKey, type Key } from '../harmony/key/key.ts';
import { formatNote, formatPitchClass } from '../harmony/pitch/pitch-name.ts';
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import { formatBeatNote, quartersIn } from '../midi/beat-note.ts';
import { formatMetre, isSameMetre } from '../midi/metre.ts';
import { type Chart, plainTempo } from './chart.ts';
import { chosenText } from './chosen.ts';
import { beatsIn, type Share, type WrittenBar, type WrittenChord } from './form.ts';
import { splitBeats } from './split-beats.ts';

function formatTempo({ tempo, beatNote, metres: [metre] }: Chart): string {
  const perMinute = (tempo * 4) / metre.unit / quartersIn(beatNote);
  const shown = String(Math.round(perMinute * 100) / 100);
  const isPlain = beatNote.dots === 0 && beatNote.unit === metre.unit;
  if (isPlain && perMinute === plainTempo) return '';
  return isPlain ? shown : `${formatBeatNote(beatNote)} = ${shown}`;
}

function keyText(key: Key | undefined): string {
  if (key === undefined) return 'none';
  return `${formatPitchClass(key.tonic)}${key.mode === 'minor' ? 'm' : ''}`;
}

/** A line of text holds one line of words. */
function oneLine(text: string): string {
  return text.replace(/\s+/gu, ' ').trim();
}

function headOf(chart: Chart): readonly string[] {
  const { title, composer, style, key, metres, form } = chart;
  const [metre] = metres;
  const pickup = form.bars[0]?.isPickup === true ? beatsIn(form.bars[0]) : 0;
  const own = form.bars[0]?.metre ?? metre;
  const values: readonly (readonly [name: string, value: string])[] = [
    ['title', title],
    ['composer', composer],
    ['style', style],
    ['key', key === undefined ? '' : keyText(key)],
    ['metre', own.beats === 4 && own.unit === 4 ? '' : formatMetre(own)],
    ['pickup', pickup === 0 ? '' : String(pickup)],
    ['tempo', formatTempo(chart)],
  ];
  const rest = new Set(form.comments);
  const lines = values.flatMap(([name, value]) => {
    const above = form.comments.filter(({ before }) => before === name);
    for (const each of above) rest.delete(each);
    const comments = above.map(({ words }) => comment(words));
    return [...comments, ...(value === '' ? [] : [`${name}: ${oneLine(value)}`])];
  });
  return [...[...rest].map(({ words }) => comment(words)), ...lines];
}

function comment(words: string): string {
  return `# ${oneLine(words)}`.trimEnd();
}

function chordText({ text, symbol, ...chord }: WrittenChord, key: Key | undefined): string {
  const { isPushed, isOptional, lead, chosen } = chord;
  const name = symbol === undefined ? text : formatSymbol(symbol);
  const note = lead === undefined ? '' : `@${formatNote(lead, spellInKey(lead % 12, key))}`;
  const inside = `${name}${note}`;
  const words = chosenText(chosen, (midi) => formatNote(midi, spellInKey(midi % 12, key)));
  return `${words}${isPushed ? '<' : ''}${isOptional ? `(${inside})` : inside}`;
}

function signOf(share: Share, key: Key | undefined): string {
  if (share.kind === 'chord') return chordText(share.chord, key);
  return share.kind === 'rest' ? 'r' : '/';
}

/** Where in the bar something begins, in beats, and its sign. */
type Event = { readonly at: number; readonly sign: string; readonly kind: Share['kind'] };

function eventsOf(bar: WrittenBar, key: Key | undefined): readonly Event[] {
  let at = 0;
  return bar.shares.map((share) => {
    const event = { at, sign: signOf(share, key), kind: share.kind };
    at += share.beats;
    return event;
  });
}

const near = 1e-6;

function isWhole(number: number): boolean {
  return Math.abs(number - Math.round(number)) < near;
}

/** The signs of one beat: one of them, or several in {}. */
function beatText(beat: number, events: readonly Event[], held: string): string {
  const own = events.filter(({ at }) => at > beat - near && at < beat + 1 - near);
  const parts =
    [1, 2, 3, 4].find((count) => own.every(({ at }) => isWhole((at - beat) * count))) ?? 4;
  const signs = Array.from({ length: parts }, (_, part) => {
    const at = beat + part / parts;
    const event = own.find((each) => Math.abs(each.at - at) < near);
    return event?.sign ?? (part === 0 || own[0] === undefined || own[0].at > at ? held : '/');
  });
  return parts === 1 ? (signs[0] ?? '/') : `{${signs.join(' ')}}`;
}

/** Each sign of the bar, with the beat at which it stands. */
function signsIn(bar: WrittenBar, key: Key | undefined): readonly (readonly [number, string])[] {
  const events = eventsOf(bar, key);
  const beats = Math.round(beatsIn(bar));
  const even = splitBeats(events.length, beats);
  const isEven =
    even?.every((each, place) => Math.abs(each - (bar.shares[place]?.beats ?? 0)) < near) ===
      true &&
    even.every((each) => each === even[0]) &&
    events.every(({ kind }) => kind !== 'held') &&
    events.length <= beats &&
    bar.cues.every((cue) => events.some(({ at }) => Math.abs(at - cue.at) < near));
  if (isEven) return events.map(({ at, sign }) => [at, sign]);
  return Array.from({ length: beats }, (_, beat) => {
    // Beats behind a rest rest on, as those behind a chord are held.
    return [beat, beatText(beat, events, '/')] as const;
  });
}

function contentOf(bar: WrittenBar, key: Key | undefined): string {
  const cues = [...bar.cues];
  const again = bar.isAgain ? '%' : bar.pairAgain === 'first' ? '%%' : undefined;
  if (bar.pairAgain === 'second') return '';
  const signs = again === undefined ? signsIn(bar, key) : [[0, again] as const];
  const words = signs.flatMap(([at, sign], place) => {
    const next = signs[place + 1]?.[0] ?? Number.POSITIVE_INFINITY;
    const own = cues.filter((cue) => cue.at < next - near && cue.at > at - near);
    for (const cue of own) cues.splice(cues.indexOf(cue), 1);
    return [...own.map((cue) => `"${oneLine(cue.words).replaceAll('"', "'")}"`), sign];
  });
  return words.join(' ');
}

function openingOf({ section, isSegno, isCoda, ending }: WrittenBar): readonly string[] {
  return [
    ...(ending?.isFirstBar === true ? [`[${ending.numbers.join(',')}.`] : []),
    ...(section === '' ? [] : [`[${oneLine(section)}]`]),
    ...(isSegno ? ['Segno'] : []),
    ...(isCoda ? ['Coda'] : []),
  ];
}

function closingOf({ toCoda, fine, jump }: WrittenBar): readonly string[] {
  const until = jump?.until === undefined ? '' : ` al ${jump.until === 'fine' ? 'Fine' : 'Coda'}`;
  return [
    ...(toCoda === undefined ? [] : ['To Coda']),
    ...(fine === undefined ? [] : ['Fine']),
    ...(jump === undefined ? [] : [`${jump.to === 'start' ? 'D.C.' : 'D.S.'}${until}`]),
  ];
}

const barLines = { single: '|', double: '||', final: '|]' } as const;

/** A repeat of an ending is known by its bracket. */
function barLineBehind({ times, barLine, ending }: WrittenBar): string {
  if (times === 1) return barLines[barLine];
  return times === 2 || ending !== undefined ? ':|' : `:| x${times}`;
}

function linesOf(bars: readonly WrittenBar[]): readonly (readonly WrittenBar[])[] {
  const lines: WrittenBar[][] = [];
  bars.forEach((bar, place) => {
    const before = bars[place - 1];
    const isOther = (other: WrittenBar): boolean =>
      !isSameMetre(other.metre, bar.metre) || !isSameKey(other.key, bar.key);
    const isNew = before === undefined || bar.isLineStart || isOther(before);
    if (isNew || before.comment !== '') lines.push([bar]);
    else lines.at(-1)?.push(bar);
  });
  return lines;
}

function lineText(line: readonly WrittenBar[], key: Key | undefined): string {
  const parts = line.map((bar, place) => {
    const before = line[place - 1];
    const opens = bar.isRepeatStart ? '|:' : place === 0 ? '|' : '';
    const behind = line[place + 1];
    // Two bars that are written as one have no line between them.
    const closes = bar.pairAgain === 'first' ? '' : barLineBehind(bar);
    // '|:' of the next bar is its bar line too.
    const isSaid = closes === '|' && behind?.isRepeatStart === true;
    const content = [...openingOf(bar), contentOf(bar, key), ...closingOf(bar)]
      .filter((part) => part !== '')
      .join(' ');
    return [before !== undefined && opens === '' ? '' : opens, content, isSaid ? '' : closes]
      .filter((part) => part !== '')
      .join(' ');
  });
  const note = line.at(-1)?.comment ?? '';
  return `${parts.join(' ')}${note === '' ? '' : `  ${comment(note)}`}`;
}

/** The text of the chart, a line feed at its end. */
export function writeChart(chart: Chart): string {
  const { form } = chart;
  let metre = form.bars[0]?.metre;
  let { key } = chart;
  const music = linesOf(form.bars).flatMap((line) => {
    const [first] = line;
    const isOther = first !== undefined && metre !== undefined && !isSameMetre(first.metre, metre);
    metre = first?.metre ?? metre;
    const isOtherKey = first !== undefined && !isSameKey(first.key, key);
    if (isOtherKey) key = first.key;
    return [
      ...(isOtherKey ? [`key: ${keyText(key)}`] : []),
      ...(isOther ? [`metre: ${formatMetre(first.metre)}`] : []),
      ...(first?.commentsAbove ?? []).map(comment),
      lineText(line, key),
    ];
  });
  const head = headOf(chart);
  const below = form.commentsBelow.map(comment);
  return `${[...head, ...(head.length === 0 ? [] : ['']), ...music, ...below].join('\n')}\n`;
}
