/**
 * An accompanist who knows what is meant: lines as they are played, and for each chord its clean
 * block, drawn in under a melody and without a bass where one is held. Whoever judges has to find
 * it right.
 */
import { createLedger, type Ledger } from '../../../src/live/ledger.ts';
import type { ChordReport } from '../../../src/live/snapshot.ts';
import type { Message } from '../../../src/midi/message.ts';
import { type Heard, playedOf } from './hearing.ts';
import { receive, type Sent } from './receiver.ts';
import { ceiling, nameOf } from './rules.ts';
import type { Block, MovingFinger, Stage, Stroke } from './stage.ts';

type Sounded = Pick<Stroke, 'note' | 'velocity' | 'channel' | 'at' | 'until'>;

type Wish = { readonly at: number; readonly order: number; readonly act: (out: Message[]) => void };

function overlaps(stroke: Stroke, from: number, to: number): boolean {
  return stroke.at < to && stroke.until > from;
}

function voicingOf(stage: Stage, block: Block, lines: readonly Stroke[]): number[] {
  const { meant } = block;
  if (!('reference' in meant)) return [];
  const hasBass = stage.preset.bass.policy !== 'none';
  const tail = stage.pedals.length > 0 ? stage.beat : 1;
  const lowestKey = Math.min(...meant.notes);
  const near = lines.filter(
    (line) => line.channel === 0 && overlaps(line, block.firstAt - tail, block.firstAt + 200_000),
  );
  const basses = near.filter((line) => line.note < lowestKey - 3);
  const melodies = near.filter((line) => line.note > Math.max(...meant.notes));
  const highest = melodies.length === 1 ? (melodies[0]?.note ?? 127) - 2 : 127;
  const upper =
    basses.length > 0 && hasBass
      ? aboveOtherBass(meant.reference.notes, basses)
      : meant.reference.notes;
  const above = Math.max(0, ...basses.map((line) => line.note));
  const notes = new Set<number>();
  for (const note of upper) {
    let moved = note;
    while (moved > highest || notes.has(moved)) moved -= 12;
    while (moved <= above || notes.has(moved)) moved += 12;
    notes.add(moved);
  }
  return [...notes];
}

/** Without its own bass; a tone that only that bass has takes the place of what the other bass has. */
function aboveOtherBass(
  [own = 0, ...upper]: readonly number[],
  basses: readonly Stroke[],
): readonly number[] {
  if (upper.some((note) => note % 12 === own % 12)) return upper;
  return upper.map((note) => {
    const isInBass = basses.some((bass) => bass.note % 12 === note % 12);
    return isInBass ? note - ((note - own) % 12) : note;
  });
}

type Bass = { readonly first: number; readonly isLate: boolean };

/** The other hand's bass while the chord is held, if there is one. */
function bassUnder(
  { meant, firstAt }: Block,
  end: number,
  lines: readonly Stroke[],
): Bass | undefined {
  const lowestKey = Math.min(...meant.notes);
  const basses = lines.filter(
    (line) => line.channel === 0 && line.note < lowestKey - 3 && overlaps(line, firstAt, end),
  );
  const first = Math.min(...basses.map((line) => line.at));
  return basses.length === 0 ? undefined : { first, isLate: first > firstAt + ceiling };
}

function symbolAt(stage: Stage, lines: readonly Stroke[], at: number): string {
  const block = stage.blocks.findLast((each) => each.lastAt <= at && 'reference' in each.meant);
  if (block === undefined) return '';
  const down = lines.filter((line) => line.at <= at && line.until > at).map((line) => line.note);
  const [root, bass] = [block.meant.root, Math.min(...down, ...block.meant.notes)].map((note) =>
    nameOf(note).replace(/-?\d/, ''),
  );
  return root === bass ? `${root}` : `${root}/${bass}`;
}

/** When a chord's voicing ends: with its keys, with most of them, or with the one tied to it. */
function endOf(stage: Stage, place: number): number {
  const block = stage.blocks[place];
  const next = stage.blocks[place + 1];
  if (block === undefined) return 0;
  const ups = block.strokes.map((stroke) => stroke.until).sort((one, other) => one - other);
  const isTied =
    next !== undefined &&
    (next.lastUp() > block.lastUp() || next.strokes.some((each) => block.strokes.includes(each)));
  const tied = isTied ? (next?.lastAt ?? 0) : Number.POSITIVE_INFINITY;
  return Math.min(ups.at(-1) ?? 0, (ups.at(-2) ?? 0) + 100_000, tied);
}

/** The voice that has the name of the finger's key. */
function movedVoice(upper: readonly number[], { from }: MovingFinger): number | undefined {
  return upper.find((note) => note % 12 === from.note % 12);
}

/** Each key of the finger at the pitch nearest to `around` that no other voice has. */
function movingVoice(
  { moving }: MovingFinger,
  others: readonly number[],
  around: number,
  end: number,
): Sounded[] {
  return moving.map(({ note, velocity, at }, place) => {
    const octaves = [0, 12, -12, 24, -24].map(
      (octave) => note + 12 * Math.round((around - note) / 12) + octave,
    );
    const free = octaves.find((each) => !others.includes(each) && each > Math.min(...others));
    return { note: free ?? note, velocity, channel: 0, at, until: moving[place + 1]?.at ?? end };
  });
}

/** The voices of a chord, each with its time. */
function chordOf(stage: Stage, place: number, lines: readonly Stroke[]): Sounded[] {
  const block = stage.blocks[place];
  if (block === undefined) return [];
  const voicing = voicingOf(stage, block, lines);
  if (voicing.length === 0) return [...block.strokes];
  const end = endOf(stage, place);
  const bass = bassUnder(block, end, lines);
  const hasBass = stage.preset.bass.policy !== 'none';
  const finger = stage.fingers.find((each) => each.block === block);
  const moved = finger && movedVoice(voicing.slice(hasBass ? 1 : 0), finger);
  const endOfVoice = (note: number, voice: number): number => {
    if (bass?.isLate === true && voice === 0 && hasBass) return bass.first;
    return (note === moved ? finger?.moving[0]?.at : undefined) ?? end;
  };
  const voices = voicing.map((note, voice): Sounded => {
    return { note, velocity: 80, channel: 0, at: block.lastAt, until: endOfVoice(note, voice) };
  });
  if (finger === undefined) return voices;
  const others = voicing.filter((note) => note !== moved);
  return [...voices, ...movingVoice(finger, others, moved ?? finger.from.note, end)];
}

/** All wishes in the order of their times, and at one time: ends, pedals, chords, lines. */
function wishesOf(stage: Stage, lines: readonly Stroke[], ledger: Ledger): Wish[] {
  const wishes: Wish[] = [];
  const play = ({ note, velocity, channel, at, until }: Sounded, order: number): void => {
    wishes.push({ at, order, act: (out) => ledger.start(channel, note, velocity, out) });
    wishes.push({ at: until, order: -1, act: (out) => ledger.stop(channel, note, out) });
  };
  for (const line of lines) play(line, 2);
  for (const place of stage.blocks.keys()) {
    for (const voice of chordOf(stage, place, lines)) play(voice, 1);
  }
  for (const { at, value, channel } of stage.pedals) {
    const message = { type: 'controlChange', channel, controller: 64, value } as const;
    wishes.push({ at, order: 0, act: (out) => out.push(message) });
  }
  return wishes.sort((one, other) => one.at - other.at || one.order - other.order);
}

export function accompany(stage: Stage): Heard {
  const inChords = new Set([
    ...stage.blocks.flatMap((block) => block.strokes),
    ...stage.fingers.flatMap((finger) => finger.moving),
  ]);
  const lines = stage.strokes.filter((stroke) => !inChords.has(stroke));
  const sent: Sent[] = [];
  for (const { at, act } of wishesOf(stage, lines, createLedger())) {
    const out: Message[] = [];
    act(out);
    for (const message of out) sent.push({ at, message });
  }
  const shownAt = (at: number): ChordReport => ({
    atMicroseconds: at,
    heard: { symbol: symbolAt(stage, lines, at), runnerUp: '', notes: [] },
    sent: { voices: [], symbol: '', label: '', relaxed: [] },
    preset: stage.preset.id,
  });
  return { ...receive(sent), sent, played: playedOf(stage), shown: [], shownAt };
}
