/**
 * A revoiced file as a progression: the file's own beats and metres, the chords of the parts that
 * were voiced and what those parts play beside them.
 */
import { parseKey } from '../harmony/key/key.ts';
import { eventsOf, type MidiFile, metaData, metaEventsOf } from '../midi/read-midi-file.ts';
import { metaTypes } from '../midi/standard-midi-file.ts';
import { tempoMapOf } from '../midi/tempo-map.ts';
import { barLength, type Metre, type Progression, ticksPerQuarter } from '../score/progression.ts';
import { quantise } from '../score/quantise.ts';
import { spansOf, type TimedMessage, tellApart } from '../take/note-spans.ts';
import type { PartReport, Revoiced } from './revoice.ts';

/** Quarter notes: a roll's last voice after its first. Nothing is corrected where one looks ahead. */
const within = { roll: 0.5, gesture: 0 };

/**
 * @param voiced the file that was made of it, as read again.
 * @param reports every chord of it, in the order of the file.
 */
export function progressionOfFile(
  voiced: MidiFile,
  { harmony, written }: Pick<Revoiced, 'harmony' | 'written'>,
  reports: readonly PartReport[],
  { title, key }: { readonly title: string; readonly key: string | undefined },
): Progression {
  const toQuarters = quartersOf(voiced);
  const messages: TimedMessage[] = [];
  // A take's own playing is beside what sounds for it, and no part of it.
  const read = harmony.sounded === undefined ? harmony.parts.map((part) => part.track) : [];
  const tracks = new Set([...written, ...read]);
  let track = 0;
  for (const chunk of voiced.chunks) {
    if (!chunk.isTrack) continue;
    track += 1;
    if (!tracks.has(track)) continue;
    for (const { tick, bytes } of eventsOf(chunk)) messages.push({ at: toQuarters(tick), bytes });
  }
  messages.sort((one, other) => one.at - other.at);
  const chords = reports
    .filter(({ report }) => report.heard.symbol !== '')
    .map(({ tick, report }) => ({ at: toQuarters(tick), report }))
    .sort((one, other) => one.at - other.at);
  const told = tellApart(chords, spansOf(messages, messages.at(-1)?.at ?? 0), within);
  const parsed = key === undefined ? undefined : parseKey(key);
  const progression = quantise(told, {
    title,
    key: parsed?.ok ? parsed.value : undefined,
    tempo: tempoOf(voiced),
    ...withPickup(metresOf(voiced, toQuarters)),
    about: 'by the beats of the file',
  });
  // Symbols of the file stay above what was made of them.
  return reports.some(({ report }) => report.heard.isWritten === true)
    ? { ...progression, manner: { symbols: 'both', hasNumerals: false } }
    : progression;
}

/** A short first bar before longer ones is how a file has a pick-up. Common practice, no source. */
export function withPickup(metres: readonly Metre[]): Pick<Progression, 'metres' | 'pickup'> {
  const [first, second, ...others] = metres;
  const isPickup =
    first !== undefined &&
    second?.unit === first.unit &&
    second.beats > first.beats &&
    second.tick === barLength(first);
  return isPickup
    ? { metres: [{ ...second, tick: 0 }, ...others], pickup: second.tick }
    : { metres, pickup: 0 };
}

/** Quarter notes of a tick. Time code has no beats: seconds at 120 a minute stand for them. */
export function quartersOf({ division }: MidiFile): (tick: number) => number {
  if (division.type === 'metrical') return (tick) => tick / division.ticksPerQuarter;
  const ticksPerSecond = division.framesPerSecond * division.ticksPerFrame;
  return (tick) => (tick / ticksPerSecond) * 2;
}

/** Quarter notes a minute at the beginning. */
function tempoOf(file: MidiFile): number {
  if (file.division.type === 'time code') return 120;
  const { ticksPerQuarter: division } = file.division;
  return 60_000_000 / tempoMapOf(file).microsecondsAt(division);
}

/** The time signatures of the file; 4/4 where it has none. */
export function metresOf(file: MidiFile, toQuarters: (tick: number) => number): readonly Metre[] {
  const metres = new Map<number, Metre>();
  for (const chunk of file.chunks.filter(({ isTrack }) => isTrack)) {
    for (const { tick, bytes } of metaEventsOf(chunk)) {
      const data = metaData(bytes, metaTypes.timeSignature);
      const [beats = 0, power = 9] = data ?? [];
      // What no score can show (no beats, sixty-fourths) is left out.
      if (beats === 0 || beats > 32 || power > 4) continue;
      const at = Math.round(toQuarters(tick) * ticksPerQuarter);
      metres.set(at, { tick: at, beats, unit: 2 ** power });
    }
  }
  const known = [...metres.values()].sort((one, other) => one.tick - other.tick);
  return known[0]?.tick === 0 ? known : [{ tick: 0, beats: 4, unit: 4 }, ...known];
}
