/**
 * Chords of a chart ready to be voiced: each grown, in its frame, with the voicings it may have. What
 * is chosen for one chord narrows its list; the path is led around that.
 */
import type { Result } from '../common/result.ts';
import { createGrower, type Harmony } from '../harmony/chord/palette.ts';
import { spelledChordOf } from '../harmony/chord/spelled-chord.ts';
import { formatKey, type Key } from '../harmony/key/key.ts';
import type { SpelledPitchClass } from '../harmony/pitch/pitch-name.ts';
import { exactly, isAnythingChosen, overChosenBass, presetOfChosen } from '../presets/chosen.ts';
import { frameOf, obeyingBass, type Registers } from '../presets/frame.ts';
import type { Preset } from '../presets/preset.ts';
import { toneIn } from '../voicing/bass.ts';
import { type Candidates, candidates } from '../voicing/choose.ts';
import { keptCandidates } from '../voicing/kept.ts';
import { effortFor } from '../voicing/players.ts';
import { shapeCandidates } from '../voicing/shapes.ts';
import type { Frame } from '../voicing/voicing.ts';
import type { Chart, ChartChord } from './chart.ts';
import { type Chosen, chosenText } from './chosen.ts';
import { keyOfBar } from './key-of-bar.ts';

export type ChartSetup = {
  readonly preset: Preset;
  readonly key: Key | undefined;
  readonly registers: Registers;
  /** Presets that the chart names; absent: it may name none. */
  readonly presetNamed?: (name: string) => Result<Preset>;
};

export type Prepared = {
  readonly harmony: Harmony;
  readonly root: SpelledPitchClass;
  readonly frame: Frame;
  readonly preset: Preset;
  /** That holds for it. */
  readonly key: Key | undefined;
  readonly list: Candidates;
  /** Something is chosen for this chord; a preset is for all behind it, too. */
  readonly isChosen: boolean;
  /** Its very notes are. */
  readonly isExact: boolean;
  /** Why what is chosen cannot be had: one sentence; '' where it can. */
  readonly problem: string;
};

/** A melody to harmonise: the note that is written on top of the chord. */
function withLead(frame: Frame, lead: number | undefined): Frame {
  return lead === undefined ? frame : { ...frame, lead };
}

const spokenBass = { third: 'third', fifth: 'fifth', seventh: 'seventh' } as const;

/** Why the bass that was chosen is not there. */
function bassProblem(
  text: string,
  { bass }: Chosen,
  { chord, palette }: Harmony,
  { voicings, strategy }: Candidates,
): string {
  if (bass === undefined || bass === 'written' || bass === 'line' || bass === 'none') return '';
  const tone = toneIn(palette, bass);
  if (tone === undefined && bass !== 'root') {
    return `'${text}' has no ${spokenBass[bass]} that could be its bass; choose another bass, or let the chord grow.`;
  }
  const wanted = (chord.root + (tone ?? 0)) % 12;
  const isThere = voicings.some((each) => each.bass !== undefined && each.bass % 12 === wanted);
  return isThere
    ? ''
    : `'${strategy}' has no voicing of '${text}' over its ${bass}; choose another technique with that bass.`;
}

function nameOfKey(key: Key | undefined): string {
  return key === undefined ? '' : formatKey(key);
}

/** Of each chord of the form, the name of the preset that holds there; '' for the setup's own. */
export function presetNames({ form }: Pick<Chart, 'form'>): (chord: ChartChord) => string {
  const names = new Map<string, string>();
  let holds = '';
  form.bars.forEach(({ shares }, bar) => {
    shares.forEach((share, place) => {
      if (share.kind !== 'chord') return;
      holds = share.chord.chosen.preset ?? holds;
      names.set(`${bar}.${place}`, holds);
    });
  });
  return ({ written }) => names.get(`${written.bar}.${written.share}`) ?? '';
}

/** Prepares chords; what is written alike is prepared once, and the last chord of a piece anew. */
export function createPreparer(setup: ChartSetup, chart: Chart) {
  const { registers } = setup;
  const nameFor = presetNames(chart);
  const grounds = new Map<string, ReturnType<typeof groundOf>>();
  const groundFor = (name: string, chosen: Chosen, key: Key | undefined) => {
    const slot = `${chosen.technique ?? ''} ${name} ${nameOfKey(key)}`;
    const known = grounds.get(slot);
    if (known !== undefined) return known;
    const named = name === '' ? undefined : setup.presetNamed?.(name);
    const preset = presetOfChosen(named?.ok === true ? named.value : setup.preset, chosen);
    // A register was asked for where the setup's own preset holds.
    const { upper: _, ...others } = registers;
    const made = groundOf(preset, name === '' ? registers : others, key);
    grounds.set(slot, made);
    return made;
  };
  const known = new Map<string, Prepared>();
  return (chord: ChartChord, isLast = false): Prepared | undefined => {
    if (chord.symbol === undefined) return undefined;
    const name = nameFor(chord);
    const key = keyOfBar(chart, setup.key, chord.written.bar);
    const own = [chosenText(chord.chosen), chord.text, chord.lead, isLast, name];
    const slot = [...own, nameOfKey(key)].join('@');
    const before = known.get(slot);
    if (before !== undefined) return before;
    const prepared = prepare(chord, chord.symbol, groundFor(name, chord.chosen, key), isLast, key);
    known.set(slot, prepared);
    return prepared;
  };
}

function groundOf(preset: Preset, registers: Registers, key: Key | undefined) {
  const grow = createGrower(key, preset.growth, preset.family ?? {});
  return { preset, grow, frame: frameOf(preset, registers, key) };
}

/** Of the player's own voicings those that everybody can play; where there are none, all of them. */
function playable(list: Candidates | undefined, { players }: Frame): Candidates | undefined {
  if (list === undefined || players === undefined) return list;
  const places = [...list.voicings.keys()].filter(
    (place) => effortFor(list.voicings[place]?.notes ?? [], players) < Number.POSITIVE_INFINITY,
  );
  if (places.length === 0) return list;
  const voicings = places.flatMap((place) => list.voicings[place] ?? []);
  const standing = Float64Array.from(places, (place) => list.standing[place] ?? 0);
  return { ...list, voicings, standing };
}

function prepare(
  { text, chosen, lead }: ChartChord,
  symbol: NonNullable<ChartChord['symbol']>,
  { preset, grow, frame }: ReturnType<typeof groundOf>,
  isLast: boolean,
  key: Key | undefined,
): Prepared {
  const spelled = spelledChordOf(symbol);
  const harmony = grow(spelled.chord, lead);
  const under = spelled.isBassWritten ? obeyingBass(frame, preset, spelled.chord.bass) : frame;
  const slash = spelled.isBassWritten ? spelled.chord.bass : undefined;
  const led = withLead(overChosenBass(under, chosen.bass, slash), lead);
  const own: Frame = isLast ? { ...led, isLast } : led;
  const { voicing } = chosen;
  const isChosen = isAnythingChosen(chosen);
  const kept = isChosen ? undefined : keptCandidates(preset.kept, harmony, own, key);
  const list =
    typeof voicing === 'object'
      ? exactly(voicing, harmony, own)
      : (playable(kept ?? shapeCandidates(preset, harmony, own), own) ??
        candidates(preset.strategy, harmony, own));
  const problem = bassProblem(text, chosen, harmony, list);
  const isExact = typeof voicing === 'object';
  const root = spelled.root;
  return { harmony, root, frame: own, preset, key, list, isChosen, isExact, problem };
}
