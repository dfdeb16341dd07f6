/**
 * Follows MIDI clock: tempo, and where in the music we are. Knows clock messages and times in
 * microseconds, no input and no clock of its own. Positions are in quarter notes from the start of
 * the song; bars and beats are counted from 1.
 *
 * Source: MIDI 1.0 Detailed Specification (4.2.1), "System Real Time Messages" and "Song Position
 * Pointer": 24 clocks a quarter note; Start means that the next clock is position 0; Continue goes
 * on from where Stop or a song position left off, again with the next clock; a song position counts
 * sixteenths, 6 clocks each.
 *
 * Clocks jitter and get lost: clock-line.ts averages the one out and makes the other good. A clock
 * that stays away altogether is a pause, and its return goes on from where we were.
 */
import type { Message } from '../../midi/message.ts';
import { commonTime, type Metre } from '../../midi/metre.ts';
import { createClockLine } from './clock-line.ts';

export type TempoState = {
  /** True from Start or Continue until Stop, while clocks come. */
  readonly isRunning: boolean;
  /** Quarter notes a minute; absent before half a beat was heard and when no clock comes. */
  readonly beatsPerMinute: number | undefined;
  readonly bar: number;
  readonly beat: number;
  /** Quarter notes from the start of the song. */
  readonly position: number;
  /** The last clocks on quarter notes, simply counted; absent where nobody counts. */
  readonly clocks?: readonly CountedClock[];
};

export type CountedClock = {
  readonly atMicroseconds: number;
  /** Quarter notes from the start of the song; absent while the song stands. */
  readonly position?: number;
};

export type Tempo = {
  /** A message that has nothing to do with the clock changes nothing. Times never run backwards. */
  readonly receive: (message: Message, atMicroseconds: number) => void;
  /** A clock knows no metre: 4/4 unless the player has set another. */
  readonly state: (atMicroseconds: number, metre?: Metre) => TempoState;
};

export const clocksPerQuarter = 24;
export const clocksPerSixteenth = 6;
/**
 * Longer silence than this is a master that stopped without a word: our choice, four clocks at 20 bpm,
 * where they are 125 ms apart.
 */
const longestSilence = 500_000;
/** Slower or faster than any music: something else sends these clocks. Quarter notes a minute; our choice. */
const slowest = 10;
const fastest = 1_000;

export function createTempo(): Tempo {
  const line = createClockLine();
  let isStarted = false;
  /** The clock we are at, counted from the start of the song. */
  let clock = 0;
  /** True when the next clock is `clock` itself and not one after it. */
  let isBeforeClock = true;
  let heardAt = Number.NEGATIVE_INFINITY;
  let period: number | undefined;

  const isLost = (at: number): boolean => at - heardAt > longestSilence;

  const tick = (at: number): void => {
    if (isLost(at)) {
      line.clear();
      period = undefined;
    }
    heardAt = at;
    const passed = line.add(at);
    period = line.period() ?? period;
    if (!isStarted) return;
    if (isBeforeClock) isBeforeClock = false;
    else clock = Math.max(0, clock + passed);
  };

  /** A master may begin at once and not at the end of its period: a new line, at the old tempo. */
  const begin = (): void => {
    isStarted = true;
    line.clear();
  };

  const place = (sixteenths: number): void => {
    clock = sixteenths * clocksPerSixteenth;
    isBeforeClock = true;
  };

  const position = (at: number): number => {
    const isStanding = !isStarted || isBeforeClock || isLost(at);
    const within = isStanding ? 0 : (line.since(at) ?? 0);
    return (clock + Math.min(Math.max(within, 0), 1)) / clocksPerQuarter;
  };

  const beatsPerMinute = (at: number): number | undefined => {
    if (period === undefined || isLost(at)) return undefined;
    const tempo = 60_000_000 / (period * clocksPerQuarter);
    return tempo >= slowest && tempo <= fastest ? tempo : undefined;
  };

  return {
    receive(message, at) {
      if (message.type === 'timingClock') tick(at);
      else if (message.type === 'stop') isStarted = false;
      else if (message.type === 'continue') begin();
      else if (message.type === 'songPosition') place(message.sixteenths);
      else if (message.type === 'start') {
        begin();
        place(0);
      }
    },
    state(at, metre = commonTime) {
      const quarters = position(at);
      const beats = Math.floor((quarters * metre.unit) / 4);
      return {
        isRunning: isStarted && !isLost(at),
        beatsPerMinute: beatsPerMinute(at),
        bar: Math.floor(beats / metre.beats) + 1,
        beat: (beats % metre.beats) + 1,
        position: quarters,
      };
    },
  };
}
