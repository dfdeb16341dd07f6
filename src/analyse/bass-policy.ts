/**
 * What the bass of a whole passage does, in the words of presets: a policy that gives the bass of most
 * of its chords.
 */
import { membersOf } from '../harmony/pitch/pitch-class-set.ts';
import type { BassPolicy } from '../voicing/voicing.ts';
import { aboveRoot } from './bass-kinds.ts';
import type { HeardChord } from './heard-chord.ts';

export type PassageBass = {
  readonly policy: BassPolicy;
  /** Of all chords so many have the bass that the policy gives them. */
  readonly chords: number;
  /** Of these so many do not stand on their root because their symbol says so, as a root preset obeys. */
  readonly asWritten: number;
  /** What a pedal holds. */
  readonly pedal?: number;
};

/** Semitones above the root by which third, fifth and seventh are represented, best first. */
const tones = { third: [4, 3], fifth: [7, 6, 8], seventh: [10, 11, 9] } as const;
type Tone = keyof typeof tones;

/** A policy explains a passage when it gives the bass of so many of its chords. */
const leastShare = 0.8;
/** A line goes by steps and leaps of a third at most, so often. */
const leastOfLine = 0.55;

/** The tone that a policy gives a chord; a chord without it takes its root. */
function toneOf({ chord, notes }: HeardChord, tone: Tone): number {
  const sounding = notes.map(({ midi }) => (midi - chord.root + 120) % 12);
  const own = membersOf(chord.type.tones);
  return tones[tone].find((each) => own.includes(each) || sounding.includes(each)) ?? 0;
}

function countOf(chords: readonly HeardChord[], isSo: (heard: HeardChord) => boolean): number {
  return chords.filter(isSo).length;
}

/** The note that most basses are, where they are over several roots. */
function pedalOf(withBass: readonly HeardChord[]): { note: number; chords: number } | undefined {
  const counts = new Map<number, number>();
  for (const { bass = 0 } of withBass) counts.set(bass, (counts.get(bass) ?? 0) + 1);
  const [most] = [...counts].sort(([, one], [, other]) => other - one);
  const roots = new Set(withBass.map(({ chord }) => chord.root));
  return most === undefined || roots.size < 2 ? undefined : { note: most[0], chords: most[1] };
}

function isLine(withBass: readonly HeardChord[]): boolean {
  const moves = withBass
    .slice(1)
    .map(({ bass = 0 }, place) => Math.abs(bass - (withBass[place]?.bass ?? 0)));
  const near = moves.filter((move) => move <= 4).length;
  return moves.length > 1 && near >= leastOfLine * moves.length;
}

/** Of most chords one tone, the same or in each the like; undefined: of too few. */
function oneTone(withBass: readonly HeardChord[], least: number): PassageBass | undefined {
  const pedal = pedalOf(withBass);
  if (pedal !== undefined && pedal.chords >= least) {
    return { policy: 'pedal', chords: pedal.chords, asWritten: 0, pedal: pedal.note };
  }
  const [tone] = (['third', 'fifth', 'seventh'] as const)
    .map((policy) => {
      const chords = countOf(withBass, (heard) => aboveRoot(heard) === toneOf(heard, policy));
      return { policy, chords, asWritten: 0 };
    })
    .sort((one, other) => other.chords - one.chords);
  return tone !== undefined && tone.chords >= least ? tone : undefined;
}

export function passageBass(chords: readonly HeardChord[]): PassageBass {
  const withBass = chords.filter(({ bass }) => bass !== undefined);
  const without = chords.length - withBass.length;
  if (without >= withBass.length) return { policy: 'none', chords: without, asWritten: 0 };
  const least = leastShare * withBass.length;
  const roots = countOf(withBass, (heard) => aboveRoot(heard) === 0);
  const asWritten = countOf(withBass, ({ isBassWritten }) => isBassWritten);
  const served = roots + asWritten;
  if (roots >= least) return { policy: 'root', chords: served, asWritten };
  const one = oneTone(withBass, least);
  const isMeant = served >= least && one?.policy !== 'pedal';
  // A root preset obeys a slash; who writes more of them than roots chooses the bass of each chord.
  if (isMeant && roots >= asWritten) return { policy: 'root', chords: served, asWritten };
  if (isMeant) return { policy: 'as-played', chords: withBass.length, asWritten: 0 };
  if (one !== undefined) return one;
  const policy = isLine(withBass) ? 'line' : 'as-played';
  return { policy, chords: withBass.length, asWritten: 0 };
}
