/**
 * Beams: notes with flags that follow each other inside one beat are joined. Source: Read, Music
 * Notation (2nd ed. 1979), ch. 5 (from memory); beams never cross a beat here.
 */
import { type Metre, pulseTicks } from './progression.ts';
import type { Written } from './staff-voices.ts';

export type Beam = 'begin' | 'continue' | 'end' | 'forward hook' | 'backward hook';

/** Beams of each note from the first level on; notes without a beam are absent. */
export type Beams = ReadonlyMap<Written, readonly Beam[]>;

const flags: Readonly<Record<string, number>> = { eighth: 1, '16th': 2, '32nd': 3 };

function flagsOf({ type, pitches }: Written): number {
  return pitches.length === 0 ? 0 : (flags[type] ?? 0);
}

/** Runs of flagged notes inside one beat, two or more each. `into`: ticks of the bar before it. */
function groupsOf(written: readonly Written[], metre: Metre, into: number): Written[][] {
  const pulse = pulseTicks(metre);
  const groups: Written[][] = [];
  let last: Written | undefined;
  for (const each of written) {
    const beat = (value: Written) => Math.floor((value.tick + into) / pulse);
    const isJoined = last !== undefined && flagsOf(last) > 0 && beat(last) === beat(each);
    if (flagsOf(each) > 0) {
      if (isJoined) groups.at(-1)?.push(each);
      else groups.push([each]);
    }
    last = each;
  }
  return groups.filter((group) => group.length > 1);
}

function beamAt(group: readonly Written[], place: number, level: number): Beam | undefined {
  const has = (index: number) => {
    const value = group[index];
    return value !== undefined && flagsOf(value) >= level;
  };
  if (!has(place)) return undefined;
  if (has(place - 1)) return has(place + 1) ? 'continue' : 'end';
  if (has(place + 1)) return 'begin';
  return place === 0 ? 'forward hook' : 'backward hook';
}

export function beamsOf(written: readonly Written[], metre: Metre, into: number): Beams {
  const beams = new Map<Written, readonly Beam[]>();
  for (const group of groupsOf(written, metre, into)) {
    group.forEach((value, place) => {
      const levels = [1, 2, 3].map((level) => beamAt(group, place, level));
      beams.set(
        value,
        levels.filter((beam) => beam !== undefined),
      );
    });
  }
  return beams;
}
