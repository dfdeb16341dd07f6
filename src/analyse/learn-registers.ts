/**
 * Registers of a learned preset. A passage shows of a register only what it uses of it: of all that
 * explain it as well, the likeliest is taken. Likely are ends where registers of a hand and of a bass
 * commonly end, and not far beyond what is used; how far, and what counts more: common practice and
 * half passages of our own beside their presets, no source.
 */
import type { Preset, Register } from '../presets/preset.ts';
import { narrowestBass } from '../presets/rules.ts';

export type RegisterPart = 'upper' | 'bass';

type End = 'lowest' | 'highest';

/**
 * Common practice, no source. Upper voices begin at A2 in both hands, at C3 or D3 in one; they reach C5
 * or E5, or A5 with a lead. A bass begins at E1, its lowest string, at A1 or C2, and ends at C3 or D3.
 */
const common: Readonly<Record<RegisterPart, Readonly<Record<End, readonly number[]>>>> = {
  upper: { lowest: [45, 48, 50], highest: [72, 76, 81] },
  bass: { lowest: [28, 33, 36], highest: [48, 50] },
};

/** Semitones beyond what is used. Lines come down more than they climb. */
const usual: Readonly<Record<RegisterPart, Readonly<Record<End, number>>>> = {
  upper: { lowest: 5, highest: 3 },
  bass: { lowest: 4, highest: 3 },
};

/** Where no end is common: so far beyond what is used is looked. */
const steps = [0, 1, 2, 3, 4, 6, 8] as const;

/** What an end that is not common counts, in semitones away from what is usual. */
const uncommon = 8;

/** E1, the lowest string of a bass, and D3: beyond them a bass is used rather than assumed. */
const bassEnds: Register = { lowest: 28, highest: 50 };

/** From the lowest note to the highest, and so many semitones at least. */
export function registerUsed(notes: readonly number[], least: number): Register {
  const [lowest, highest] = [Math.min(...notes), Math.max(...notes)];
  const missing = Math.max(0, least - (highest - lowest));
  const below = missing >> 1;
  return { lowest: lowest - below, highest: highest + missing - below };
}

/** Every root has a place in it, and it begins below the upper voices. */
export function bassUsed(notes: readonly number[], upper: Register): Register {
  if (notes.length === 0) {
    return { lowest: Math.min(33, upper.lowest - 1), highest: Math.min(48, upper.lowest + 11) };
  }
  const { lowest, highest } = registerUsed(notes, narrowestBass);
  const shift = Math.max(0, bassEnds.lowest - lowest);
  return { lowest: lowest + shift, highest: highest + shift };
}

type Likely<T> = { readonly value: T; readonly unlikely: number };

function byLikelihood<T>(all: readonly Likely<T>[]): readonly Likely<T>[] {
  return [...all].sort((one, other) => one.unlikely - other.unlikely);
}

/** Ends of a register that holds what is used. */
function endsOf(used: Register, part: RegisterPart, end: End, isEvery: boolean): Likely<number>[] {
  const way = end === 'lowest' ? -1 : 1;
  const own = used[end];
  const isInside = (note: number): boolean => {
    const isBeyondBass =
      part === 'bass' && (note < bassEnds.lowest || note > bassEnds.highest) && note !== own;
    return (note - own) * way >= 0 && !isBeyondBass;
  };
  const near = (isEvery ? steps : [0, usual[part][end]]).map((step) => own + step * way);
  return [...new Set([...common[part][end], ...near])].filter(isInside).map((note) => {
    const away = Math.abs((note - own) * way - usual[part][end]);
    return { value: note, unlikely: away + (common[part][end].includes(note) ? 0 : uncommon) };
  });
}

function registersOf(used: Register, part: RegisterPart, isEvery: boolean): Likely<Register>[] {
  const highest = endsOf(used, part, 'highest', isEvery);
  return endsOf(used, part, 'lowest', isEvery).flatMap((low) =>
    highest.map((high) => ({
      value: { lowest: low.value, highest: high.value },
      unlikely: low.unlikely + high.unlikely,
    })),
  );
}

/** So many registers of both parts together are looked at. */
const mostTogether = 30;

/** @param used a preset whose registers are what the passage uses. The likeliest first. */
export function likelyRegisters(preset: Preset, used: Preset): readonly Preset[] {
  const basses =
    used.bass.policy === 'none'
      ? [{ value: used.bass, unlikely: 0 }]
      : registersOf(used.bass, 'bass', false);
  const both = registersOf(used.upper, 'upper', false).flatMap((upper) =>
    basses.map((bass) => ({
      value: { ...preset, upper: upper.value, bass: { ...preset.bass, ...ends(bass.value) } },
      unlikely: upper.unlikely + bass.unlikely,
    })),
  );
  return byLikelihood(both)
    .slice(0, mostTogether)
    .map(({ value }) => value);
}

function ends({ lowest, highest }: Register): Register {
  return { lowest, highest };
}

/** Others of one part, the likeliest first. */
export function otherRegisters(
  preset: Preset,
  used: Preset,
  part: RegisterPart,
): readonly Preset[] {
  return byLikelihood(registersOf(used[part], part, true)).map(({ value }) => ({
    ...preset,
    [part]: { ...preset[part], ...value },
  }));
}

/** Of a preset whose registers are what is used: registers that hold all which are looked at. */
export function widestRegisters(used: Preset): Record<RegisterPart, Register> {
  const widest = (part: RegisterPart): Register => {
    const [lowest, highest] = (['lowest', 'highest'] as const).map((end) =>
      endsOf(used[part], part, end, true).map(({ value }) => value),
    );
    return { lowest: Math.min(...(lowest ?? [])), highest: Math.max(...(highest ?? [])) };
  };
  return { upper: widest('upper'), bass: widest('bass') };
}
