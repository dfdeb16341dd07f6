import { setOfNotes } from '../../../../src/harmony/pitch/pitch-class-set.ts';
import type { Wanted } from '../chords.ts';
import type { Heard } from '../hearing.ts';
import {
  ceiling,
  firstOf,
  inMilliseconds,
  keptFault,
  nameOf,
  namesOf,
  settled,
  voicingFault,
  without,
} from '../rules.ts';
import type { Block, Fault, Stage, Stroke } from '../stage.ts';
import { lowestOf, milliseconds, type Way } from './way.ts';

const hand = 60;

/** A chord of as many keys, some of them in common with the last. */
function tiedChord(stage: Stage, from: Wanted, isWanted: (common: number) => boolean): Wanted {
  const { random } = stage;
  const size = from.notes.length > 3 ? 'seventh' : 'triad';
  const around = lowestOf(from.notes) + random.below(5) - 2;
  return stage.nextChord(around, size, ({ notes }) =>
    isWanted(notes.filter((note) => from.notes.includes(note)).length),
  );
}

type Change = {
  readonly before: Wanted;
  readonly wanted: Wanted;
  /** The keys struck for it. */
  readonly fresh: readonly Stroke[];
  /** The keys of the chord before that come up for it. */
  readonly lifted: readonly Stroke[];
};

/** Strikes what is new, ties what is common, and lifts the rest around that time. */
function change(
  stage: Stage,
  held: readonly Stroke[],
  before: Wanted,
  wanted: Wanted,
  lift: () => number,
): { readonly held: Stroke[]; readonly change: Change } {
  const { random } = stage;
  const tied = held.filter((stroke) => wanted.notes.includes(stroke.note));
  const lifted = held.filter((stroke) => !tied.includes(stroke));
  const notes = wanted.notes.filter((note) => !tied.some((stroke) => stroke.note === note));
  const width = Math.min(stage.widest, 20 * milliseconds);
  const far = Number.MAX_SAFE_INTEGER / 4;
  const fresh = notes.map((note, place) =>
    stage.strike(note, stage.now + (place === 0 ? 0 : random.between(0, width)), far),
  );
  for (const stroke of lifted) stroke.until = Math.round(stage.now + lift());
  stage.asBlock(wanted, [...tied, ...fresh]);
  return { held: [...tied, ...fresh], change: { before, wanted, fresh, lifted } };
}

function firstOn(strokes: readonly Stroke[]): number {
  return Math.min(...strokes.map((stroke) => stroke.at));
}

function lastOn(strokes: readonly Stroke[]): number {
  return Math.max(...strokes.map((stroke) => stroke.at));
}

function lastUp(strokes: readonly Stroke[]): number {
  return Math.max(...strokes.map((stroke) => stroke.until));
}

/** What is struck on the way belongs to the chord that comes of it, or is a key as it was played. */
function onTheWayFault(heard: Heard, { fresh }: Change, from: number, to: number): Fault {
  const end = heard.ringing(to);
  const own = fresh.map((stroke) => stroke.note);
  const struck = heard.strikes(from, to).map((span) => span.note);
  const foreign = struck.filter((note) => !end.includes(note) && !own.includes(note));
  return foreign.length === 0 ? undefined : `${namesOf(foreign)} is struck on the way`;
}

function bassOnTheWayFault(heard: Heard, from: number, to: number): Fault {
  const allowed = [heard.ringing(from - 1)[0], heard.ringing(to)[0]];
  for (const at of heard.changes(from, to)) {
    const [lowest] = heard.ringing(at);
    if (lowest !== undefined && !allowed.includes(lowest))
      return `${nameOf(lowest)} is the bass on the way`;
  }
  return undefined;
}

/**
 * From the last of the old keys coming up and the ceiling on the new chord rings, in its own bass; where
 * all its keys are new, from the last of them on, whatever is still tied. On the way nothing is struck that is not of it, but for the new keys as
 * they were played, and no third bass is heard.
 */
export const legatoOverlap: Way = {
  id: 'legato',
  about: 'legato: common tones tied, the old keys lifted one by one after the new ones',
  play(stage) {
    const { random } = stage;
    stage.warmUp(hand);
    const beat = Math.max(stage.beat, 500 * milliseconds);
    let before = stage.nextChord(hand);
    const first = stage.block(before, stage.now, beat);
    let held: Stroke[] = [...first.strokes];
    for (let gesture = 0; gesture < 4; gesture += 1) {
      stage.now += beat;
      const wanted = tiedChord(stage, before, (common) => common < before.notes.length);
      const next = change(
        stage,
        held,
        before,
        wanted,
        () => random.between(10, 140) * milliseconds,
      );
      judgeLegato(stage, next.change);
      held = next.held;
      before = wanted;
    }
    for (const stroke of held)
      stroke.until = Math.round(stage.now + beat + random.between(0, 40_000));
    stage.now += 2 * beat;
  },
};

function judgeLegato(stage: Stage, made: Change): void {
  const { wanted, fresh, lifted } = made;
  const from = firstOn(fresh);
  // Keys that are a chord by themselves need not wait for the old ones to come up.
  const isWhole = fresh.length === wanted.notes.length;
  const at = Math.max(lastOn(fresh), isWhole ? 0 : lastUp(lifted)) + ceiling;
  const after = Math.max(at, lastUp(lifted) + ceiling);
  stage.expect('tied change', from, at, (heard) =>
    firstOf(
      () => movedVoicingFault(stage, heard.ringing(after), made, heard.ringing(from - 1)),
      () => movedVoicingFault(stage, heard.ringing(at), made, heard.ringing(from - 1)),
      () => onTheWayFault(heard, made, from, at),
      () => bassOnTheWayFault(heard, from, at),
    ),
  );
}

/** Where one finger has changed, the voicing before with one voice moved serves as well. */
function movedVoicingFault(
  stage: Stage,
  voicing: readonly number[],
  { before, wanted, fresh }: Change,
  rang: readonly number[],
): Fault {
  const [key] = fresh;
  const own = voicingFault(stage, voicing, wanted);
  if (own === undefined || fresh.length !== 1 || key === undefined) return own;
  const left = without(before.notes, wanted.notes);
  const old = setOfNotes([...before.reference.notes, ...rang]) & ~setOfNotes(left);
  const isMoved = (setOfNotes(voicing) & ~(old | (1 << (key.note % 12)))) === 0;
  const hasMoved = voicing.some((note) => note % 12 === key.note % 12);
  return isMoved && hasMoved ? undefined : own;
}

/**
 * The new chord is there no later after its last key than the learned spread: the widest chord this
 * player has struck, and 1 ms; nothing is struck before that key. Where one finger has changed, the
 * voicing before with one voice moved serves as well as a new one.
 */
export const commonTonesHeld: Way = {
  id: 'common-tones',
  about: 'common tones held, one or two fingers change',
  play(stage) {
    const { random } = stage;
    stage.warmUp(hand);
    const beat = Math.max(stage.beat, 400 * milliseconds);
    let before = stage.nextChord(hand);
    let held: Stroke[] = [...stage.block(before, stage.now, beat).strokes];
    const limit = Math.min(ceiling, stage.widest + milliseconds);
    for (let gesture = 0; gesture < 4; gesture += 1) {
      stage.now += beat;
      const count = before.notes.length;
      const wanted = tiedChord(
        stage,
        before,
        (common) => common >= Math.max(1, count - 2) && common < count,
      );
      const next = change(stage, held, before, wanted, () => random.between(-60, 4) * milliseconds);
      judgeChange(stage, next.change, limit);
      held = next.held;
      before = wanted;
    }
    for (const stroke of held)
      stroke.until = Math.round(stage.now + beat + random.between(0, 40_000));
    stage.now += 2 * beat;
  },
};

function judgeChange(stage: Stage, made: Change, limit: number): void {
  const from = firstOn(made.fresh);
  const last = Math.max(lastOn(made.fresh), lastUp(made.lifted));
  stage.expect('changed fingers', from, last + ceiling, (heard) => {
    const rang = heard.ringing(from - 1);
    const isRight = (at: number) =>
      movedVoicingFault(stage, heard.ringing(at), made, rang) === undefined;
    const rightAt = heard.changes(last, last + 2 * ceiling).find(isRight);
    if (rightAt === undefined)
      return movedVoicingFault(stage, heard.ringing(last + ceiling), made, rang);
    if (rightAt - last > limit) {
      return `the chord comes ${inMilliseconds(rightAt - last)} after its last key, learned are ${inMilliseconds(limit)}`;
    }
    const early = heard.strikes(from, lastOn(made.fresh) - 1).length > 0;
    return early ? 'something is struck before the last key' : undefined;
  });
}

/** A hand that has all but left has ended the chord, after a moment no longer than this. */
const moment = 250 * milliseconds;

/**
 * Within a quarter of a second after all fingers but one are up, the voicing has ended (the key that is
 * left may sound by itself); it does not end before the first of them is up; and a single new key then
 * sounds as played with nothing of the old chord beside it.
 */
export const lastFinger: Way = {
  id: 'last-finger',
  about: 'the last finger left down after the rest of the hand has gone',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(hand);
    for (let gesture = 0; gesture < 2; gesture += 1) {
      const wanted = stage.nextChord(hand);
      const block = stage.block(wanted, stage.now, beat * random.between(0.6, 0.9));
      const left = block.strokes[random.below(block.strokes.length)];
      if (left === undefined) continue;
      const others = block.strokes.filter((stroke) => stroke !== left);
      const gone = lastUp(others);
      left.until = Math.round(gone + random.between(700, 1500) * milliseconds);
      const note = random.chance(0.5)
        ? left.note + 5 + random.below(8)
        : left.note - 5 - random.below(8);
      const at = gone + random.between(300, 450) * milliseconds;
      const single = stage.strike(note, at, at + random.between(150, 240) * milliseconds);
      judgeEnd(stage, { block, wanted, left, gone, single });
      stage.keeps.push({ stroke: single, judge: (heard) => keptFault(heard, single) });
      stage.now = left.until + beat * random.between(0.5, 1);
    }
  },
};

type End = {
  readonly block: Block;
  readonly wanted: Wanted;
  readonly left: Stroke;
  readonly gone: number;
  readonly single: Stroke;
};

function judgeEnd(stage: Stage, { block, wanted, left, gone, single }: End): void {
  stage.expect('last finger', block.firstAt, left.until, (heard) => {
    const after = heard.ringing(gone + moment);
    const beside = without(heard.ringing(single.at + ceiling), [single.note]);
    const own = (notes: readonly number[]) => without(notes, [left.note]).length === 0;
    return firstOf(
      () => voicingFault(stage, heard.ringing(settled(block)), wanted),
      () => voicingFault(stage, heard.ringing(block.firstUp() - 1), wanted),
      () => (own(after) ? undefined : `${namesOf(after)} drones on`),
      () => keptFault(heard, single),
      () => (own(beside) ? undefined : `${namesOf(beside)} sounds beside ${nameOf(single.note)}`),
    );
  });
}
