/**
 * A voiced chart as a progression for scores and hand-outs: in the order of the page, where a bar
 * that is played several times stands once, with the signs that say so.
 */
import type { ChartChord, ChartForm } from '../../chart/chart.ts';
import { quartersOf } from '../../chart/chart.ts';
import { type ExplainedChart, explainChart } from '../../chart/explain/explain.ts';
import { techniquesTold } from '../../chart/explain/rules.ts';
import { beatsIn, type WrittenBar } from '../../chart/form.ts';
import { keyOfBar } from '../../chart/key-of-bar.ts';
import { type PlacedBar, placeBars, restText } from '../../chart/played.ts';
import { chartReport, type ReportedChord } from '../../chart/report.ts';
import type { VoicedChart } from '../../chart/voice.ts';
import { given } from '../../common/given.ts';
import { factNotes, factRows } from '../../compare/fact-rows.ts';
import { factsOf } from '../../compare/facts.ts';
import type { Treatment } from '../../compare/treatment.ts';
import { spellInKey } from '../../harmony/chord/spelling.ts';
import { isSameKey } from '../../harmony/key/key.ts';
import { formatNote } from '../../harmony/pitch/pitch-name.ts';
import { formatSymbol } from '../../harmony/symbol/format-symbol.ts';
import type { BarSigns } from '../../score/bar-signs.ts';
import {
  chosenLabel,
  type Metre,
  type Played,
  type Progression,
  type ProgressionChord,
  ticksPerQuarter,
} from '../../score/progression.ts';
import type { Reach } from '../../voicing/hands.ts';

function tickOf(quarters: number): number {
  return Math.round(quarters * ticksPerQuarter);
}

/** A bar of the page: where it stands there, and when it is played first. */
type PageBar = {
  readonly bar: WrittenBar;
  /** Quarter notes from the beginning of the page. */
  readonly start: number;
  /** Absent: it is never played. */
  readonly visit: (PlacedBar & { readonly index: number }) | undefined;
};

function pageBars({ bars, order }: ChartForm): readonly PageBar[] {
  const visits = new Map<number, PlacedBar & { readonly index: number }>();
  placeBars(bars, order).forEach((placed, index) => {
    if (!visits.has(placed.written)) visits.set(placed.written, { ...placed, index });
  });
  let start = 0;
  return bars.map((bar, place) => {
    const page = { bar, start, visit: visits.get(place) };
    start += quartersOf(beatsIn(bar), bar.metre);
    return page;
  });
}

/** The symbol as it is printed; a rest has none. */
function printedSymbol({ chord }: VoicedChart['chords'][number]): string {
  if (chord.symbol === undefined) return /^N/iu.test(chord.text) ? 'N.C.' : '';
  return formatSymbol(chord.symbol);
}

/** The lead in any spelling of it: what is read back is the key on the keyboard. */
function chosenWords({ chosen }: ReportedChord, { lead }: ChartChord): string {
  if (lead === undefined) return chosen;
  return `${chosen} @${formatNote(lead, spellInKey(lead % 12, undefined))}`.trim();
}

/** What is said of a chord where it is not a chart's own choice: as it was played. */
export type LabelOf = (chord: VoicedChart['chords'][number]) => string;

/** `chord`: its place in the voiced chart. */
type Piece = ProgressionChord & { readonly chord: number };

/** What a score or a hand-out has to say besides the notes. */
export type ProgressionWish = {
  /** Of each chord how it is built and why it is this one. */
  readonly isExplained: boolean;
  /** Where treatments are compared: what a hand spans. */
  readonly reach: Reach;
};

type Saying = {
  /** Absent: as the chart has it. */
  readonly labelOf?: LabelOf | undefined;
  readonly isExplained?: boolean;
};

type ChordsSaid = {
  readonly why: ExplainedChart['chords'];
  readonly labelOf: LabelOf | undefined;
};

type Told = { readonly reports: readonly ReportedChord[]; readonly why: ExplainedChart['chords'] };

/** What is said where a chord begins, and not again where it sounds on. */
function newly(
  isNew: boolean,
  voiced: VoicedChart['chords'][number],
  report: ReportedChord,
  isPlayed: boolean,
): Pick<ProgressionChord, 'symbol' | 'sounds' | 'chosen'> {
  if (!isNew) return { symbol: '', sounds: '', chosen: '' };
  const chosen = isPlayed ? '' : chosenWords(report, voiced.chord);
  return { symbol: printedSymbol(voiced), sounds: report.sounds, chosen };
}

/** What of the chords sounds in the bar when it is played first. */
function piecesIn(
  { start, visit }: PageBar,
  { chords }: VoicedChart,
  { reports, why }: Told,
  from: number,
  labelOf: LabelOf | undefined,
): readonly Piece[] {
  if (visit === undefined) return [];
  const pieces: Piece[] = [];
  const end = visit.start + visit.length;
  for (let place = from; place < chords.length; place += 1) {
    const voiced = chords[place];
    const report = reports[place];
    if (voiced === undefined || report === undefined || voiced.chord.start >= end) break;
    const begins = Math.max(voiced.chord.start, visit.start);
    const tick = tickOf(start + begins - visit.start);
    const ends = Math.min(voiced.chord.start + voiced.chord.length, end);
    // Pushed out of its bar into one that leads to others too, a chord is shown where it is written.
    const isPushedOut = voiced.chord.written.bar === visit.written;
    const isNew = voiced.chord.start >= visit.start || isPushedOut;
    const { notes, leftOut } = report;
    const label = labelOf?.(voiced) ?? chosenLabel(report.label, report.chosen !== '');
    pieces.push({
      ...{ chord: place, tick, length: tickOf(start + ends - visit.start) - tick },
      ...newly(isNew, voiced, report, labelOf !== undefined),
      label,
      leftOut,
      notes: notes.map(({ midi, ...note }) => ({ ...note, note: midi })),
      isOptional: voiced.chord.isOptional,
      isRest: isNew && voiced.chord.text === restText,
      ...given('explanation', isNew ? why[place] : undefined),
    });
  }
  return pieces;
}

/** The first chord that still sounds at a moment of the playing. */
function soundingAt({ chords }: VoicedChart, at: number): number {
  let [low, high] = [0, chords.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    const chord = chords[middle]?.chord;
    if (chord !== undefined && chord.start + chord.length <= at) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Pieces of one chord on both sides of a bar line are one where the bars are played in a row. */
function pageChords(
  voiced: VoicedChart,
  bars: readonly PageBar[],
  { why, labelOf }: ChordsSaid,
): readonly Piece[] {
  const told = { reports: chartReport(voiced).chords, why };
  const chords: Piece[] = [];
  bars.forEach((page, place) => {
    const before = bars[place - 1]?.visit;
    const isNext = before !== undefined && page.visit?.index === before.index + 1;
    const pieces = piecesIn(
      page,
      voiced,
      told,
      soundingAt(voiced, page.visit?.start ?? 0),
      labelOf,
    );
    for (const piece of pieces) {
      const last = chords.at(-1);
      if (isNext && last?.chord === piece.chord) {
        chords[chords.length - 1] = { ...last, length: last.length + piece.length };
      } else {
        chords.push(piece);
      }
    }
  });
  return chords;
}

/** Each chord as it is played, by what stands on the page where it is written. */
function orderOf({ chords }: VoicedChart, pieces: readonly Piece[]): readonly Played[] {
  const nameOf = (chord: number) => {
    const { bar, share } = chords[chord]?.chord.written ?? { bar: -1, share: -1 };
    return `${bar}.${share}`;
  };
  const places = new Map<string, number>();
  pieces.forEach(({ chord }, place) => {
    if (!places.has(nameOf(chord))) places.set(nameOf(chord), place);
  });
  return chords.flatMap(({ chord: { start, length } }, index) => {
    const chord = places.get(nameOf(index));
    return chord === undefined ? [] : [{ chord, tick: tickOf(start), length: tickOf(length) }];
  });
}

function signsOf({ bar, start }: PageBar): BarSigns {
  const { section, times, ending, jump } = bar;
  return {
    ...{ section, times, ending },
    isRepeatStart: bar.isRepeatStart,
    isSegno: bar.isSegno,
    isCoda: bar.isCoda,
    isToCoda: bar.toCoda !== undefined,
    isFine: bar.fine !== undefined,
    jump: jump && { to: jump.to, until: jump.until },
    barLine: bar.barLine,
    cues: bar.cues.map(({ at, words }) => ({
      tick: tickOf(start + quartersOf(at, bar.metre)),
      words,
    })),
  };
}

function metresOf(bars: readonly PageBar[]): readonly Metre[] {
  const metres: Metre[] = [];
  for (const { bar, start } of bars) {
    const { beats, unit } = bar.metre;
    const last = metres.at(-1);
    if (last?.beats !== beats || last.unit !== unit)
      metres.push({ tick: tickOf(start), beats, unit });
  }
  return metres;
}

/** Where the page turns to another key. */
function keysOf(
  { chart, setup }: VoicedChart,
  bars: readonly PageBar[],
): Pick<Progression, 'keys'> {
  const keys = bars.flatMap(({ start }, place) => {
    const key = keyOfBar(chart, setup.key, place);
    const before = keyOfBar(chart, setup.key, place - 1);
    return place === 0 || isSameKey(key, before) ? [] : [{ tick: tickOf(start), key }];
  });
  return keys.length === 0 ? {} : { keys };
}

/** Several treatments stand below each other, each under its name. */
export function progressionOfCharts(
  treatments: readonly Treatment[],
  wish: ProgressionWish,
): Progression {
  const [own, ...below] = treatments.map(({ name, voiced }) => {
    const progression = progressionOfChart(voiced, wish);
    if (treatments.length === 1) return progression;
    return { ...progression, name, facts: factRows(factsOf(voiced, wish.reach), voiced.setup.key) };
  });
  if (own === undefined) throw new RangeError('there is no treatment to write');
  return below.length === 0 ? own : { ...own, below, factNotes: factNotes() };
}

export function progressionOfChart(voiced: VoicedChart, said: Saying = {}): Progression {
  const page = pageOfChart(voiced, said);
  return { ...page, chords: page.chords.map(({ chord: _, ...rest }) => rest) };
}

/** A progression that knows which chord of the voiced chart each of its own is. */
export type ChartPage = Omit<Progression, 'chords'> & { readonly chords: readonly Piece[] };

export function pageOfChart(
  voiced: VoicedChart,
  { labelOf, isExplained = false }: Saying = {},
): ChartPage {
  const { chart, setup } = voiced;
  const bars = pageBars(chart.form);
  const why = isExplained ? explainChart(voiced).chords : [];
  const pieces = pageChords(voiced, bars, { why, labelOf });
  const used = voiced.chords.map(({ sounding }) => sounding?.voicing.technique ?? '');
  return {
    title: chart.title,
    composer: chart.composer,
    style: chart.style,
    key: keyOfBar(chart, setup.key, 0),
    ...keysOf(voiced, bars),
    // A chart counts its beats a minute.
    tempo: (chart.tempo * 4) / chart.metres[0].unit,
    beatNote: chart.beatNote,
    pickup: tickOf(chart.pickup),
    metres: metresOf(bars),
    chords: pieces,
    order: orderOf(voiced, pieces),
    techniques: techniquesTold(used),
    melody: [],
    grid: '',
    signs: bars.map(signsOf),
    manner: { symbols: 'both', hasNumerals: false },
  };
}
