/**
 * A chart from a MusicXML score: the chord symbols of the part that has most of them, bars, metres,
 * key, tempo, title, composer, sections, repeats and endings, D.C. and D.S.; on asking the melody's
 * notes as leads. What is in the score and in no chart is said.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021).
 */
import type { Problem } from '../../presets/problem.ts';
import { type Chart, plainTempo, quartersOf } from '../chart.ts';
import { beatsIn } from '../form.ts';
import { playableOrder } from '../playable-order.ts';
import { playedChords } from '../played.ts';
import {
  beginPart,
  fifthsOfTransposition,
  type PartState,
  type ReadMeasure,
  readMeasure,
} from './musicxml-bar.ts';
import { barsOfMeasures } from './musicxml-bars.ts';
import { noSigns, type ReadSigns } from './musicxml-signs.ts';
import { childOf, childrenOf, readXml, textOf, type XmlElement } from './xml-tree.ts';

export type MusicXmlWish = {
  /** The melody's note at each chord becomes its lead. */
  readonly withMelody: boolean;
};

export type ReadChart =
  | {
      readonly ok: true;
      readonly value: Chart;
      /** What was left out or changed: each a sentence and its place in the file. */
      readonly remarks: readonly Problem[];
    }
  | { readonly ok: false; readonly problem: Problem };

type Place = Pick<Problem, 'line' | 'column'>;

function refuse(message: string, { line, column }: Place): ReadChart {
  return { ok: false, problem: { path: '', line, column, message } };
}

export type Part = { readonly name: string; readonly measures: readonly XmlElement[] };

function nameOf(root: XmlElement, id: string | undefined): string {
  const parts = childrenOf(childOf(root, 'part-list'), 'score-part');
  const head = parts.find(({ attributes }) => attributes['id'] === id);
  return textOf(head, 'part-name');
}

/** Of a score by parts, or by bars and then by parts. */
export function partsOf(root: XmlElement): readonly Part[] {
  if (root.name === 'score-partwise') {
    return childrenOf(root, 'part').map((part) => ({
      name: nameOf(root, part.attributes['id']),
      measures: childrenOf(part, 'measure'),
    }));
  }
  const parts = new Map<string, XmlElement[]>();
  for (const measure of childrenOf(root, 'measure')) {
    for (const part of childrenOf(measure, 'part')) {
      const id = part.attributes['id'] ?? '';
      const own = parts.get(id) ?? [];
      own.push({ ...measure, children: part.children });
      parts.set(id, own);
    }
  }
  return [...parts].map(([id, measures]) => ({ name: nameOf(root, id), measures }));
}

function symbolsIn({ measures }: Part): number {
  return measures.reduce((sum, measure) => sum + childrenOf(measure, 'harmony').length, 0);
}

/** Signs stand in any part, most in the first. */
function together(all: readonly ReadSigns[]): ReadSigns {
  const whole = noSigns();
  for (const signs of all) {
    whole.section ||= signs.section;
    whole.style ||= signs.style;
    for (const name of ['isSegno', 'isCoda', 'isToCoda', 'isFine', 'isRepeatStart'] as const) {
      whole[name] ||= signs[name];
    }
    whole.isEndingLast ||= signs.isEndingLast;
    whole.jump ??= signs.jump;
    whole.ending ??= signs.ending;
    whole.tempo ??= signs.tempo;
    whole.beatNote ??= signs.beatNote;
    whole.times = Math.max(whole.times, signs.times);
  }
  return whole;
}

type ReadScore = {
  readonly part: Part;
  readonly state: PartState;
  readonly measures: readonly ReadMeasure[];
};

function readScore(parts: readonly Part[], chosen: Part): ReadScore {
  let own: PartState = beginPart();
  const read = parts.map((part) => {
    const state = beginPart();
    if (part === chosen) own = state;
    return part.measures.map((measure) => readMeasure(measure, state));
  });
  const mine = read[parts.indexOf(chosen)] ?? [];
  const measures = mine.map((measure, place) => {
    const all = read.map((each) => each[place]?.signs ?? noSigns());
    const { cues, choices } = measure.signs;
    return { ...measure, signs: { ...together(all), cues, choices } };
  });
  return { part: chosen, state: own, measures };
}

/** The measures of a score, by their places, as they are played: see play-order.ts. */
export function playedOrder(parts: readonly Part[]): readonly number[] {
  const [first, ...others] = parts;
  if (first === undefined) return [];
  const longest = others.reduce(
    (most, part) => (part.measures.length > most.measures.length ? part : most),
    first,
  );
  const { measures } = readScore(parts, longest);
  const { bars } = barsOfMeasures(measures, { withMelody: false, shift: 0 });
  return playableOrder(bars).order;
}

function creator(root: XmlElement, type: string): string {
  return childrenOf(childOf(root, 'identification'), 'creator')
    .filter(({ attributes }) => (attributes['type'] ?? 'composer') === type)
    .map(({ text }) => text)
    .join(', ');
}

function fieldOf(root: XmlElement, name: string): string {
  const fields = childOf(childOf(root, 'identification'), 'miscellaneous');
  const found = childrenOf(fields, 'miscellaneous-field');
  return found.find(({ attributes }) => attributes['name'] === name)?.text ?? '';
}

function counted(count: number, what: string): string[] {
  return count === 0 ? [] : [`${count} ${what}${count === 1 ? '' : 's'}`];
}

/** What the score has and the chart has not. */
function leftOut(parts: readonly Part[], { measures, part, state }: ReadScore, wish: MusicXmlWish) {
  const inside = (name: string) => (measure: XmlElement) => childrenOf(measure, name);
  const notes = measures.reduce((sum, { notes: own }) => sum + own.length, 0);
  const tempos = measures.flatMap(({ signs: { tempo } }) => (tempo === undefined ? [] : [tempo]));
  const changes = (all: readonly (string | number)[]) =>
    all.filter((each, place) => place > 0 && each !== all[place - 1]).length;
  const lyrics = part.measures
    .flatMap(inside('note'))
    .some((note) => childOf(note, 'lyric') !== undefined);
  const frames = part.measures.flatMap(inside('harmony')).filter((each) => childOf(each, 'frame'));
  const unread = measures
    .flatMap(({ harmonies }) => harmonies)
    .filter(({ harmony }) => harmony.kind === 'unread');
  const words = unread.flatMap(({ harmony }) =>
    harmony.kind === 'unread' ? [`'${harmony.words}'`] : [],
  );
  return [
    ...(words.length === 0
      ? []
      : [
          `${counted(words.length, 'chord symbol').join('')} that cannot be read (${[...new Set(words)].slice(0, 5).join(', ')})`,
        ]),
    ...(wish.withMelody ? [] : counted(notes, 'note')),
    ...counted(parts.length - 1, 'other part'),
    ...(lyrics ? ['lyrics'] : []),
    ...counted(changes(tempos), 'tempo').map((text) => `${text} after the first`),
    ...counted(frames.length, 'chord diagram'),
    ...counted(state.strangeMetres, 'metre').map((text) => `${text} that no chart has`),
  ];
}

function said(list: readonly string[]): string {
  const last = list.at(-1) ?? '';
  return list.length < 2 ? last : `${list.slice(0, -1).join(', ')} and ${last}`;
}

/** @param text of the file: see musicxml-text.ts. */
export function readMusicXml(text: string, wish: MusicXmlWish): ReadChart {
  const xml = readXml(text);
  if (!xml.ok) return refuse(`The score cannot be read: ${xml.problem}.`, xml);
  const root = xml.value;
  if (root.name !== 'score-partwise' && root.name !== 'score-timewise') {
    return refuse(`This is XML, but no MusicXML score: it begins with <${root.name}>.`, root);
  }
  const parts = partsOf(root);
  const [first, ...others] = parts;
  if (first === undefined) return refuse('The score has no part.', root);
  const chosen = others.reduce(
    (best, part) => (symbolsIn(part) > symbolsIn(best) ? part : best),
    first,
  );
  if (symbolsIn(chosen) === 0) {
    const message =
      'The score has no chord symbols; write them above the notes, or save it as a MIDI file for revoice, which reads chords from notes.';
    return refuse(message, root);
  }
  return chartOf(root, parts, readScore(parts, chosen), wish);
}

function chartOf(
  root: XmlElement,
  parts: readonly Part[],
  score: ReadScore,
  wish: MusicXmlWish,
): ReadChart {
  const { measures, state, part } = score;
  const shift = fifthsOfTransposition(state.transposition);
  const laid = barsOfMeasures(measures, { withMelody: wish.withMelody, shift });
  const { bars, order, remarks: formRemarks } = playableOrder(laid.bars);
  const { chords, metres, bars: last } = playedChords(bars, order, measures[0]?.metre);
  const [metre] = metres;
  const { tempo: quarters, beatNote } =
    measures.map(({ signs }) => signs).find(({ tempo }) => tempo !== undefined) ?? {};
  const left = leftOut(parts, score, wish);
  const place = {
    path: '',
    line: part.measures[0]?.line ?? 1,
    column: part.measures[0]?.column ?? 1,
  };
  const missing = left.length === 0 ? [] : [{ ...place, message: `Left out: ${said(left)}.` }];
  const value: Chart = {
    title: textOf(childOf(root, 'work'), 'work-title') || textOf(root, 'movement-title'),
    composer: creator(root, 'composer'),
    style: fieldOf(root, 'style'),
    key: bars[0]?.key,
    ...{ chords, metres, bars: last },
    beatNote: beatNote ?? { unit: metre.unit, dots: 0 },
    tempo: quarters === undefined ? plainTempo : (quarters * metre.unit) / 4,
    pickup: bars[0]?.isPickup === true ? quartersOf(beatsIn(bars[0]), bars[0].metre) : 0,
    form: { bars, order, comments: [], commentsBelow: [] },
  };
  return { ok: true, value, remarks: [...formRemarks, ...laid.remarks, ...missing] };
}
