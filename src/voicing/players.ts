/**
 * Who plays the voices, where each has a player of its own: what a player can play, and what costs
 * effort. Voices and players run lowest → highest and never cross here: the lowest part is lowest.
 */
import type { Register } from './register.ts';

/** A string that one hand stops together with others. */
export type StringOfHand = {
  readonly open: number;
  /** Which hand, counted from 0 over all players. */
  readonly hand: number;
  /** Frets from the lowest to the highest that the hand stops at once; open strings are free. */
  readonly reach: number;
};

/** Sounding notes, both ends included. */
export type PlayerRange = Register & {
  /** What can be played for long, softly or loudly. */
  readonly comfortable: Register;
  /** Absent: the player plays one note and is free in it. */
  readonly string?: StringOfHand;
};

/** Semitones of the note beyond what is comfortable; infinite where it cannot be played at all. */
export function effortOf(note: number, range: PlayerRange): number {
  const { lowest, highest, comfortable } = range;
  if (note < lowest || note > highest) return Number.POSITIVE_INFINITY;
  return Math.max(0, comfortable.lowest - note, note - comfortable.highest);
}

/** Whether each hand reaches what its strings have; undefined: the player rests. */
export function isInReach(
  notes: readonly (number | undefined)[],
  players: readonly PlayerRange[],
): boolean {
  const stopped = new Map<number, { lowest: number; highest: number }>();
  for (let place = 0; place < players.length; place += 1) {
    const string = players[place]?.string;
    const note = notes[place];
    if (string === undefined || note === undefined || note === string.open) continue;
    const fret = note - string.open;
    const before = stopped.get(string.hand) ?? { lowest: fret, highest: fret };
    const lowest = Math.min(before.lowest, fret);
    const highest = Math.max(before.highest, fret);
    if (highest - lowest > string.reach) return false;
    stopped.set(string.hand, { lowest, highest });
  }
  return true;
}

function effortInOrder(notes: readonly number[], players: readonly PlayerRange[]): number {
  let effort = 0;
  for (let place = 0; place < players.length; place += 1) {
    const range = players[place];
    const note = notes[place];
    if (range === undefined || note === undefined) continue;
    effort += effortOf(note, range);
    if (effort === Number.POSITIVE_INFINITY) return effort;
  }
  return isInReach(notes, players) ? effort : Number.POSITIVE_INFINITY;
}

/**
 * The same for more voices than players, or fewer: every one of the fewer is matched, in order and
 * with the least effort (dynamic programming). A hand's reach is left to whoever gives the voices out.
 */
function effortOfMatch(notes: readonly number[], players: readonly PlayerRange[]): number {
  const areVoicesFewer = notes.length < players.length;
  const [fewer, more] = areVoicesFewer
    ? [notes.length, players.length]
    : [players.length, notes.length];
  const effortAt = (few: number, many: number): number => {
    const note = notes[areVoicesFewer ? few : many];
    const range = players[areVoicesFewer ? many : few];
    return note === undefined || range === undefined ? 0 : effortOf(note, range);
  };
  // Least effort of the first so many of the fewer among the first so many of the others.
  let before: number[] = new Array(more + 1).fill(0);
  for (let few = 0; few < fewer; few += 1) {
    const here: number[] = [Number.POSITIVE_INFINITY];
    for (let many = 0; many < more; many += 1) {
      const matched = (before[many] ?? 0) + effortAt(few, many);
      here.push(Math.min(here[many] ?? Number.POSITIVE_INFINITY, matched));
    }
    before = here;
  }
  return before[more] ?? 0;
}

/**
 * Semitones beyond what is comfortable, all players together, when the voices are given out in
 * order; infinite where somebody cannot play what is left for them.
 */
export function effortFor(notes: readonly number[], players: readonly PlayerRange[]): number {
  return notes.length === players.length
    ? effortInOrder(notes, players)
    : effortOfMatch(notes, players);
}
