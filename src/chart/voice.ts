/**
 * Voices a chart: the best path over the whole of it, by the rules that also hold on stage. Silence
 * (N.C.) is led across. Parallel leading needs no path: each shape follows from the one before.
 */

import { capitalised } from '../common/words.ts';
import type { Harmony } from '../harmony/chord/palette.ts';
import type { SpelledPitchClass } from '../harmony/pitch/pitch-name.ts';
import type { Problem } from '../presets/problem.ts';
import { type Candidates, cheapest, relaxedBy } from '../voicing/choose.ts';
import { type CostAhead, createCostAhead } from '../voicing/cost-ahead.ts';
import { moveCost } from '../voicing/leading.ts';
import { alone, rankedPlaces } from '../voicing/ranked.ts';
import { planed, relaxedInParallel } from '../voicing/strategies/planing.ts';
import type { Voicing } from '../voicing/voicing.ts';
import { pathAlongForm } from './along-form.ts';
import type { Chart, ChartChord } from './chart.ts';
import { type ChartSetup, createPreparer, type Prepared } from './prepare.ts';

export type { ChartSetup };

export type VoicedChord = {
  readonly chord: ChartChord;
  /** Undefined for silence. */
  readonly sounding: Sounding | undefined;
};

export type Sounding = {
  readonly harmony: Harmony;
  readonly root: SpelledPitchClass;
  readonly voicing: Voicing;
  readonly relaxed: readonly string[];
};

export type VoicedChart = {
  readonly chart: Chart;
  readonly setup: ChartSetup;
  readonly chords: readonly VoicedChord[];
  /** What the whole costs: see voicing/leading.ts. */
  readonly cost: number;
  /** What is chosen in the chart and cannot be had, each with its place. */
  readonly problems: readonly Problem[];
};

const nothing: Candidates = {
  voicings: [],
  standing: new Float64Array(0),
  fallback: [],
  strategy: 'close',
};

/** Of each chord of the chart which one it is as written. */
function writtenNames({ chords }: Chart): readonly string[] {
  return chords.map(writtenName);
}

function writtenName({ written: { bar, share } }: ChartChord): string {
  return `${bar}.${share}`;
}

type Choosing = {
  readonly chart: Chart;
  readonly prepared: readonly (Prepared | undefined)[];
  /** As on the stage, where no chord is known to be the last. */
  readonly preparedInCourse: () => readonly (Prepared | undefined)[];
  readonly problems: Problem[];
  /** Of numbered chords, as written, the list with nothing but the voicing that is meant. */
  readonly numbered: Map<string, Candidates>;
};

function numberOf({ chosen }: ChartChord): number | undefined {
  return typeof chosen.voicing === 'number' ? chosen.voicing : undefined;
}

/** The list with nothing but its `number`th of `ranked`; where there is none, the last, and said. */
function pinned(
  { chart, problems }: Choosing,
  { text, written }: ChartChord,
  list: Candidates,
  ranked: readonly Voicing[],
  number: number,
): Candidates {
  const voicing = ranked[number - 1] ?? ranked.at(-1);
  if (voicing === undefined) return list;
  if (ranked.length < number) {
    const { line, column } = chart.form.bars[written.bar]?.shares[written.share] ?? noPlace;
    const there =
      ranked.length === 1 ? 'is only one voicing' : `are only ${ranked.length} voicings`;
    const message = `There ${there} of '${text}' here, so that 'voicing=${number}' is none; give a smaller number, or widen the preset's register.`;
    problems.push({ path: '', line, column, message });
  }
  return alone(list, list.voicings.indexOf(voicing));
}

const noPlace = { line: 0, column: 0 };

/** Of each place what sounds before it, on the best path as it is gone from the beginning. */
function walked(lists: readonly Candidates[], ahead: CostAhead): readonly (Voicing | undefined)[] {
  let last: Voicing | undefined;
  return lists.map((list, place) => {
    const before = last;
    last = list.voicings[ahead.choose(place, list, last) ?? -1] ?? last;
    return before;
  });
}

/** Chords whose voicing is chosen by its number get that one alone, the others as they were. */
function withNumbers(choosing: Choosing, lists: readonly Candidates[]): readonly Candidates[] {
  const { chart, numbered } = choosing;
  if (!chart.chords.some((chord) => numberOf(chord) !== undefined)) return lists;
  const names = writtenNames(chart);
  const inCourse = choosing.preparedInCourse();
  const ranking = lists.map((list, place) =>
    list === nothing ? list : (inCourse[place]?.list ?? list),
  );
  const ahead = createCostAhead(ranking.length, (place) => ranking[place]);
  while (ahead.prepare());
  const before = walked(ranking, ahead);
  return lists.map((list, place) => {
    const chord = chart.chords[place];
    const number = chord && numberOf(chord);
    if (chord === undefined || number === undefined || list.voicings.length === 0) return list;
    const name = names[place] ?? '';
    const known = numbered.get(name);
    if (known !== undefined) return known;
    // As on the stage: from the chord before on the best path, and by what going on costs.
    const order = ahead.order(place, list, before[place]) ?? [];
    const ranked = order.flatMap((index) => list.voicings[index] ?? []);
    const pin = pinned(choosing, chord, list, ranked, number);
    numbered.set(name, pin);
    return pin;
  });
}

function alongBestPath(choosing: Choosing): readonly (Voicing | undefined)[] {
  const { chart, prepared } = choosing;
  const lists = prepared.map((each) =>
    each === undefined || each.preset.parallel !== undefined ? nothing : each.list,
  );
  return pathAlongForm(withNumbers(choosing, lists), writtenNames(chart));
}

/** What is led in parallel follows from the chord before, whatever that is; the rest is the path's. */
function inParallel(
  choosing: Choosing,
  path: readonly (Voicing | undefined)[],
): readonly (Voicing | undefined)[] {
  let last: Voicing | undefined;
  return choosing.prepared.map((each, place) => {
    const next =
      each?.preset.parallel === undefined ? path[place] : parallelTo(last, each, place, choosing);
    last = next ?? last;
    return next;
  });
}

function parallelTo(
  last: Voicing | undefined,
  { harmony, frame, list, preset, key, isChosen }: Prepared,
  place: number,
  choosing: Choosing,
): Voicing | undefined {
  const chord = choosing.chart.chords[place];
  const number = chord && numberOf(chord);
  if (chord !== undefined && number !== undefined) {
    const name = writtenName(chord);
    const places = rankedPlaces(list, last);
    const byCost = places.flatMap((index) => list.voicings[index] ?? []);
    const pin = choosing.numbered.get(name) ?? pinned(choosing, chord, list, byCost, number);
    choosing.numbered.set(name, pin);
    return pin.voicings[0];
  }
  if (frame.lead !== undefined) return cheapest(list, undefined, harmony, frame)?.voicing;
  if (last === undefined || preset.parallel === undefined || list.isOwn === true || isChosen) {
    return cheapest(list, last, harmony, frame)?.voicing;
  }
  return planed(last, harmony, frame, preset.parallel, key);
}

function soundingOf(prepared: Prepared, voicing: Voicing): Sounding {
  const { harmony, root, frame, list } = prepared;
  // Just these notes were asked for: nothing is given up.
  if (prepared.isExact) return { harmony, root, voicing, relaxed: [] };
  // Led in parallel it is none of the list.
  const isListed = prepared.preset.parallel === undefined || list.voicings.includes(voicing);
  const relaxed = isListed
    ? relaxedBy(voicing, list, harmony, frame)
    : relaxedInParallel(voicing, harmony, frame);
  return { harmony, root, voicing, relaxed };
}

function costOf(
  soundings: readonly (Sounding | undefined)[],
  prepared: readonly (Prepared | undefined)[],
): number {
  let cost = 0;
  let last: Voicing | undefined;
  soundings.forEach((sounding, index) => {
    if (sounding === undefined) return;
    const { voicing } = sounding;
    const list = prepared[index]?.list;
    const place = list?.voicings.indexOf(voicing) ?? -1;
    cost += (list?.standing[place] ?? 0) + (last === undefined ? 0 : moveCost(last, voicing));
    last = voicing;
  });
  return cost;
}

/** Why what is chosen cannot be had, once for each written chord. */
function problemsOf({ chart, prepared }: Choosing, { presetNamed }: ChartSetup): Problem[] {
  const found = new Map<string, Problem>();
  chart.chords.forEach(({ chosen, written }, index) => {
    const { line, column } = chart.form.bars[written.bar]?.shares[written.share] ?? noPlace;
    const named = chosen.preset === undefined ? undefined : presetNamed?.(chosen.preset);
    const message =
      named?.ok === false ? capitalised(named.problem) : (prepared[index]?.problem ?? '');
    if (message !== '') found.set(`${line}:${column}`, { path: '', line, column, message });
  });
  return [...found.values()];
}

export function voiceChart(chart: Chart, setup: ChartSetup): VoicedChart {
  const prepare = createPreparer(setup, chart);
  const last = chart.chords.findLast(({ symbol }) => symbol !== undefined);
  // Wherever its bar is played: what is written once has one voicing.
  const isLast = ({ written }: ChartChord) =>
    written.bar === last?.written.bar && written.share === last.written.share;
  // Voicings are counted as on the stage, where no chord is known to be the last.
  const prepared = chart.chords.map((chord) =>
    prepare(chord, isLast(chord) && numberOf(chord) === undefined),
  );
  const preparedInCourse = () => chart.chords.map((chord) => prepare(chord));
  const choosing: Choosing = {
    ...{ chart, prepared, preparedInCourse },
    ...{ problems: [], numbered: new Map() },
  };
  choosing.problems.push(...problemsOf(choosing, setup));
  const path = inParallel(choosing, alongBestPath(choosing));
  const soundings = prepared.map((each, index) => {
    const voicing = path[index];
    return each === undefined || voicing === undefined ? undefined : soundingOf(each, voicing);
  });
  const chords = chart.chords.map((chord, index) => ({ chord, sounding: soundings[index] }));
  const { problems } = choosing;
  return { chart, setup, chords, cost: costOf(soundings, prepared), problems };
}
