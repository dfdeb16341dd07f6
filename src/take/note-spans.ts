/**
 * From note-ons and note-offs to notes that begin and end, and which of them are the voices of which
 * chord. Times in any one unit.
 */

import type { ChordReport } from '../live/snapshot.ts';
import { percussionChannel } from '../midi/specification.ts';

export type NoteSpan = {
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly start: number;
  readonly end: number;
};

export type TimedMessage = { readonly at: number; readonly bytes: ArrayLike<number> };

/** In the order in which they begin; what is never ended ends at `lastAt`. */
export function spansOf(messages: readonly TimedMessage[], lastAt: number): readonly NoteSpan[] {
  const open = new Map<number, { velocity: number; start: number }[]>();
  const spans: NoteSpan[] = [];
  const close = (key: number, end: number): void => {
    const begun = open.get(key)?.shift();
    if (begun === undefined) return;
    spans.push({ channel: key >> 7, note: key & 0x7f, ...begun, end });
  };
  for (const { at, bytes } of messages) {
    const [status = 0, note = 0, velocity = 0] = [bytes[0], bytes[1], bytes[2]];
    if (status < 0x80 || status > 0x9f) continue;
    const key = (status & 0x0f) * 128 + note;
    if (status < 0x90 || velocity === 0) close(key, at);
    else open.set(key, [...(open.get(key) ?? []), { velocity, start: at }]);
  }
  for (const [key, begun] of open) while (begun.length > 0) close(key, lastAt);
  return spans.sort((one, other) => one.start - other.start || one.note - other.note);
}

export type TimedChord = {
  readonly start: number;
  readonly end: number;
  readonly report: ChordReport;
};

export type Told = {
  readonly chords: readonly TimedChord[];
  /** What sounded and is no voice of a chord, percussion left out. */
  readonly beside: readonly NoteSpan[];
  /** Voices that a finger coming late replaced by others: heard for a moment, never meant. */
  readonly replaced: readonly NoteSpan[];
  /** Which voice of its chord a note is, 0 for the lowest. */
  readonly voiceOf: ReadonlyMap<NoteSpan, number>;
};

type PlacedReport = { readonly at: number; readonly report: ChordReport };

/**
 * Chords with their ends: when the last of their voices ends, or the next chord begins. Tones that
 * two chords share may sound through; a chord that was corrected begins with its first voices.
 * @param reports in order, each with when it was read.
 * @param spans as `spansOf` gives them.
 * @param within `roll`: how long after that a voice may still begin; `gesture`: how long before it
 * the first reading of a chord that was corrected, 0 where nothing is.
 */
export function tellApart(
  reports: readonly PlacedReport[],
  spans: readonly NoteSpan[],
  { roll, gesture }: { readonly roll: number; readonly gesture: number },
): Told {
  const voiceOf = new Map<NoteSpan, number>();
  const replaced = new Set<NoteSpan>();
  const chords: TimedChord[] = [];
  let active: readonly NoteSpan[] = [];
  let next = 0;
  reports.forEach(({ at, report }, place) => {
    const earliest = Math.max(reports[place - 1]?.at ?? Number.NEGATIVE_INFINITY, at - gesture);
    const until = reports[place + 1]?.at ?? Number.POSITIVE_INFINITY;
    const begun = begunBefore(spans, next, Math.min(until, at + roll));
    next += begun.length;
    active = [...active.filter((span) => span.end > at), ...begun];
    const voices = voicesAmong(active, report, at);
    for (const [span, voice] of voices) if (!voiceOf.has(span)) voiceOf.set(span, voice);
    // A correction ends what it replaces at the very moment it begins.
    for (const span of begun) if (span.end === at && span.start > earliest) replaced.add(span);
    const own = [...voices.keys()];
    const start = Math.min(at, ...own.map((span) => span.start).filter((each) => each > earliest));
    const end = Math.max(at, ...own.map((span) => span.end));
    chords.push({ start, end: Math.min(end, until), report });
  });
  const isBeside = (span: NoteSpan) =>
    !voiceOf.has(span) && !replaced.has(span) && span.channel !== percussionChannel;
  return {
    chords: chords.filter(({ start, end }) => end > start),
    beside: spans.filter(isBeside),
    replaced: [...replaced].filter((span) => !voiceOf.has(span)),
    voiceOf,
  };
}

/** From place `from` on, those that begin before `until`. */
function begunBefore(spans: readonly NoteSpan[], from: number, until: number): NoteSpan[] {
  let end = from;
  while ((spans[end]?.start ?? until) < until) end += 1;
  return spans.slice(from, end);
}

/** The notes that sound a chord's voices, each voice once. */
function voicesAmong(
  active: readonly NoteSpan[],
  { sent }: ChordReport,
  at: number,
): ReadonlyMap<NoteSpan, number> {
  const voices = new Map<NoteSpan, number>();
  sent.voices.forEach(({ note }, voice) => {
    const span = active.find((each) => each.note === note && each.end > at && !voices.has(each));
    if (span !== undefined) voices.set(span, voice);
  });
  return voices;
}
