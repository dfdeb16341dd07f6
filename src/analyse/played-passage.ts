/**
 * What hands have played, analysed: of a take what came in, on whatever channel, and nothing of what
 * was sent for it; and the stretch of it that one texture holds, up to the last chord.
 */
import type { Result } from '../common/result.ts';
import type { Key } from '../harmony/key/key.ts';
import { areApart } from '../live/hands/parts.ts';
import type { Metre } from '../midi/metre.ts';
import { readMidiFile } from '../midi/read-midi-file.ts';
import { percussionChannel } from '../midi/specification.ts';
import { takeToMidiFile } from '../take/midi-file.ts';
import { isNoteOn, type Take, type TakeEvent } from '../take/take.ts';
import { type Analysis, analyse } from './analyse.ts';
import type { DescribedChord } from './describe.ts';
import { passageOfMidi } from './midi-passage.ts';
import { sectionsOf } from './sections.ts';

export type PlayedWish = {
  /** Absent: it is heard. */
  readonly key?: Key;
  readonly metre?: Metre;
};

/** Several keyboards are one pair of hands; drums are none. */
function byHand({ events, clock = [] }: Take): Take {
  const played = events.flatMap((event): readonly TakeEvent[] => {
    const [status = 0, ...data] = event.bytes;
    const isOfChannel = status >= 0x80 && status < 0xf0;
    if (event.direction !== 'played' || !isOfChannel) return [];
    if ((status & 0x0f) === percussionChannel) return [];
    return [{ ...event, bytes: [status & 0xf0, ...data] }];
  });
  return { events: played, chords: [], clock };
}

/** The problem is a sentence for the player. */
export function analysePlayed(take: Take, { key, metre }: PlayedWish = {}): Result<Analysis> {
  const hands = byHand(take);
  if (!hands.events.some(isNoteOn)) return { ok: false, problem: nothingPlayed };
  const file = readMidiFile(takeToMidiFile(hands, metre === undefined ? {} : { metre }));
  if (!file.ok) return { ok: false, problem: `Nothing could be learned: ${file.problem}.` };
  const passage = passageOfMidi(file.value);
  const analysis = passage.ok ? analyse(passage.value, key === undefined ? {} : { key }) : passage;
  return analysis.ok ? analysis : { ok: false, problem: noChordPlayed };
}

const nothingPlayed =
  'Nothing was played in the last minutes: play some chords as you voice them, and learn from those.';
const noChordPlayed =
  'Nothing could be learned: no three different notes of what you played sound together.';

/** From where the texture last changed: what was played before is another one. */
export function lastTexture(analysis: Analysis): Analysis {
  const from = sectionsOf(analysis.chords).at(-1)?.from ?? 0;
  return from === 0 ? analysis : { ...analysis, chords: analysis.chords.slice(from) };
}

/** The keys that were struck for it: at once, or over or under what another hand held; else undefined. */
function voicesStruck({ moment: { at, notes } }: DescribedChord): number | undefined {
  const held = notes.filter(({ start }) => start < at);
  const struck = notes.filter(({ start }) => start >= at);
  return held.length === 0 || areApart(struck, held) ? notes.length : undefined;
}

/**
 * Without what has more voices than any chord that was struck as it is: keys of the chord before were
 * still down, and nobody voiced that.
 */
export function asVoiced(analysis: Analysis): Analysis {
  const { chords } = analysis;
  const most = Math.max(...chords.map((chord) => voicesStruck(chord) ?? 0));
  const voiced = chords.filter(({ notes }) => notes.length <= most);
  return most === 0 || voiced.length === chords.length ? analysis : { ...analysis, chords: voiced };
}
