/**
 * Voices a chart: the best path over the whole of it, by the rules that also hold on stage. Silence
 * (N.C.) is led across. Parallel leading needs no path: each shape follows from the one before.
 */

import { createGrower, type Harmony } from '../harmony/chord/palette.ts';
import { spelledChordOf } from '../harmony/chord/spelled-chord.ts';
import type { Key } from '../harmony/key/key.ts';
import type { SpelledPitchClass } from '../harmony/pitch/pitch-name.ts';
import { frameOf, obeyingBass, type Registers } from '../presets/frame.ts';
import type { Preset } from '../presets/preset.ts';
import { type Candidates, candidates, cheapest, relaxedBy } from '../voicing/choose.ts';
import { keptCandidates } from '../voicing/kept.ts';
import { moveCost } from '../voicing/leading.ts';
import { planed, relaxedInParallel } from '../voicing/planing.ts';
import { shapeCandidates } from '../voicing/shapes.ts';
import type { Frame, Voicing } from '../voicing/voicing.ts';
import { pathAlongForm } from './along-form.ts';
import type { Chart, ChartChord } from './chart.ts';

export type ChartSetup = {
  readonly preset: Preset;
  readonly key: Key | undefined;
  readonly registers: Registers;
};

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
};

/** A chord ready to be voiced. */
export type Prepared = {
  readonly harmony: Harmony;
  readonly root: SpelledPitchClass;
  readonly frame: Frame;
  readonly list: Candidates;
};

/** A melody to harmonise: the note that is written on top of the chord. */
function withLead(frame: Frame, lead: number | undefined): Frame {
  return lead === undefined ? frame : { ...frame, lead };
}

/** Prepares chords; what is written alike is prepared once, and the last chord of a piece anew. */
export function createPreparer({ preset, key, registers }: ChartSetup) {
  const grow = createGrower(key, preset.growth, preset.family ?? {});
  const frame = frameOf(preset, registers, key);
  const known = new Map<string, Prepared>();
  return (chord: ChartChord, isLast = false): Prepared | undefined => {
    if (chord.symbol === undefined) return undefined;
    const name = `${chord.text}@${chord.lead ?? ''}${isLast ? ' last' : ''}`;
    const before = known.get(name);
    if (before !== undefined) return before;
    const spelled = spelledChordOf(chord.symbol);
    const harmony = grow(spelled.chord);
    const under = spelled.isBassWritten ? obeyingBass(frame, preset, spelled.chord.bass) : frame;
    const led = withLead(under, chord.lead);
    const own: Frame = isLast ? { ...led, isLast } : led;
    const list =
      keptCandidates(preset.kept, harmony, own, key) ??
      shapeCandidates(preset, harmony, own) ??
      candidates(preset.strategy, harmony, own);
    const prepared = { harmony, root: spelled.root, frame: own, list };
    known.set(name, prepared);
    return prepared;
  };
}

const nothing: Candidates = {
  voicings: [],
  standing: new Float64Array(0),
  fallback: [],
  strategy: 'close',
};

function soundingOf(prepared: Prepared, voicing: Voicing): Sounding {
  const { harmony, root, frame, list } = prepared;
  return { harmony, root, voicing, relaxed: relaxedBy(voicing, list, harmony, frame) };
}

function alongBestPath(
  prepared: readonly (Prepared | undefined)[],
  { chords }: Chart,
): readonly (Sounding | undefined)[] {
  const path = pathAlongForm(
    prepared.map((each) => each?.list ?? nothing),
    chords.map(({ written: { bar, share } }) => `${bar}.${share}`),
  );
  return prepared.map((each, index) => {
    const voicing = path[index];
    return each === undefined || voicing === undefined ? undefined : soundingOf(each, voicing);
  });
}

function inParallel(
  prepared: readonly (Prepared | undefined)[],
  { preset, key }: ChartSetup,
): readonly (Sounding | undefined)[] {
  let last: Voicing | undefined;
  return prepared.map((each) => {
    if (each === undefined) return undefined;
    const { harmony, root, frame, list } = each;
    if (last === undefined || preset.parallel === undefined || frame.lead !== undefined) {
      const first = cheapest(list, undefined, harmony, frame);
      last = first?.voicing;
      return first === undefined ? undefined : { harmony, root, ...first };
    }
    if (list.isOwn === true) {
      const own = cheapest(list, last, harmony, frame);
      last = own?.voicing;
      return own && { harmony, root, ...own };
    }
    const voicing = planed(last, harmony, frame, preset.parallel, key);
    last = voicing;
    return { harmony, root, voicing, relaxed: relaxedInParallel(voicing, harmony, frame) };
  });
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

export function voiceChart(chart: Chart, setup: ChartSetup): VoicedChart {
  const prepare = createPreparer(setup);
  const last = chart.chords.findLast(({ symbol }) => symbol !== undefined);
  // Wherever its bar is played: what is written once has one voicing.
  const isLast = ({ written }: ChartChord) =>
    written.bar === last?.written.bar && written.share === last.written.share;
  const prepared = chart.chords.map((chord) => prepare(chord, isLast(chord)));
  const soundings =
    setup.preset.parallel === undefined
      ? alongBestPath(prepared, chart)
      : inParallel(prepared, setup);
  const chords = chart.chords.map((chord, index) => ({ chord, sounding: soundings[index] }));
  return { chart, setup, chords, cost: costOf(soundings, prepared) };
}
