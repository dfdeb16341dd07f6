import { gripTurned, pick, scaleNotes, type Wanted } from '../chords.ts';
import type { Heard } from '../hearing.ts';
import {
  ceiling,
  firstOf,
  keptFault,
  nameOf,
  namesOf,
  onceFault,
  settled,
  voicingFault,
  without,
} from '../rules.ts';
import type { Block, Fault, Stage, Stroke } from '../stage.ts';
import { lowestOf, milliseconds, type Way } from './way.ts';

const hand = 62;

/** From the first voice on, the lowest that sounds has the bass of the clean block. */
function steadyBassFault(
  stage: Stage,
  heard: Heard,
  { notes, reference }: Wanted,
  from: number,
  to: number,
  lines: readonly number[],
): Fault {
  if (stage.preset.bass.policy === 'none') return undefined;
  for (const at of heard.changes(from, to)) {
    const ringing = without(heard.ringing(at), lines);
    const [lowest] = ringing;
    // What passes as played is no wrong chord.
    if (lowest === undefined || without(ringing, notes).length === 0) continue;
    if (lowest % 12 !== (reference.notes[0] ?? 0) % 12) {
      return `${nameOf(lowest)} is the bass for a moment`;
    }
  }
  return undefined;
}

/**
 * Struck before its chord, the grace note sounds as it is played and the chord once, as if it were
 * alone. Crushed into the chord, with the main note after it, the grace note may stand in the voicing
 * until the main note comes, over the right bass, and then only its voice moves. In both the chord
 * rings alone in the end.
 */
export const graceNote: Way = {
  id: 'grace-note',
  about: 'a grace note a semitone below a chord tone',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(hand);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const isCrushed = random.chance(0.3);
      // Into the third of a chord in root position: elsewhere the crush is a chord of another root.
      const wanted = stage.nextChord(
        hand,
        undefined,
        ({ root, notes }) => !isCrushed || lowestOf(notes) % 12 === root,
      );
      const block = stage.block(wanted, stage.now, beat * random.between(0.7, 0.85));
      const free = [0, 1, 2].filter(
        (each) => !wanted.notes.includes((wanted.notes[each] ?? 0) - 1),
      );
      const place = isCrushed ? 1 : pick(random, free);
      const main = block.strokes[place];
      if (main === undefined) continue;
      const ahead = random.between(25, 70) * milliseconds;
      const grace = isCrushed
        ? crush(stage, block, main, ahead)
        : stage.strike(
            main.note - 1,
            block.firstAt - ahead,
            main.at + random.between(5, 45) * milliseconds,
            { louder: -random.between(8, 24) },
          );
      judgeGrace(stage, block, wanted, grace, isCrushed);
      if (!isCrushed) {
        stage.keeps.push({ stroke: grace, judge: (heard) => keptFault(heard, grace) });
      }
      stage.now += beat * random.between(1, 1.3);
    }
  },
};

/** The grace note comes down with the chord in place of the main note, which follows. */
function crush(stage: Stage, block: Block, main: Stroke, ahead: number): Stroke {
  const others = block.strokes.filter((stroke) => stroke !== main);
  const late = Math.max(...others.map((stroke) => stroke.at)) + ahead;
  stage.strokes.splice(stage.strokes.indexOf(main), 1, { ...main, at: Math.round(late) });
  const up = late + stage.random.between(5, 45) * milliseconds;
  return stage.strike(main.note - 1, main.at, up, { louder: -stage.random.between(8, 24) });
}

function judgeGrace(
  stage: Stage,
  block: Block,
  wanted: Wanted,
  grace: Stroke,
  isCrushed: boolean,
): void {
  const from = Math.min(grace.at, block.firstAt);
  const last = Math.max(block.lastAt, isCrushed ? grace.until : 0);
  const at = Math.min(Math.max(last, grace.until) + ceiling, block.firstUp() - 1);
  const struckBy = Math.min(block.lastAt + ceiling, at);
  stage.expect(isCrushed ? 'crushed note' : 'grace note', from, at, (heard) =>
    firstOf(
      () => voicingFault(stage, heard.ringing(at), wanted),
      () => steadyBassFault(stage, heard, wanted, from, at, [grace.note]),
      () => (isCrushed ? undefined : keptFault(heard, grace)),
      () => (isCrushed ? undefined : withoutGrace(heard, from, struckBy, grace)),
      () => (isCrushed ? movedFault(heard, block.lastAt + ceiling, at) : undefined),
    ),
  );
}

/** Everything but the grace note is struck once. */
function withoutGrace(heard: Heard, from: number, to: number, grace: Stroke): Fault {
  const strikes = (start: number, end: number) =>
    heard.strikes(start, end).filter((span) => span.note !== grace.note);
  return onceFault({ ...heard, strikes }, from, to);
}

/** After the first voicing has settled at most one voice moves, and one more note may be struck. */
function movedFault(heard: Heard, from: number, to: number): Fault {
  const moved = heard.strikes(from, to);
  return moved.length > 2
    ? `${namesOf(moved.map((span) => span.note))} are struck anew`
    : undefined;
}

/** A key beside one of the chord, a semitone or a tone away and no key of it. */
function neighbourOf(stage: Stage, notes: readonly number[]): number | undefined {
  const beside = notes.flatMap((note) => [note - 1, note + 1, note - 2, note + 2]);
  const free = beside.filter((note) => !notes.includes(note));
  return free[stage.random.below(free.length)];
}

/**
 * Once the clipped key is up, the triad's voicing rings and no tone of the key's; until then the bass
 * is right at every moment; and when it lifts no more than one voice is struck anew.
 */
export const clippedNeighbour: Way = {
  id: 'clipped-neighbour',
  about: 'a neighbouring key clipped softly with a chord',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(hand);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const wanted = stage.nextChord(hand);
      const block = stage.block(wanted, stage.now, beat * random.between(0.7, 0.85));
      const note = neighbourOf(stage, wanted.notes);
      if (note === undefined) continue;
      const at = random.between(block.firstAt, block.lastAt + 3 * milliseconds);
      const clipped = stage.strike(note, at, at + random.between(40, 80) * milliseconds, {
        louder: -random.between(35, 60),
      });
      const end = Math.min(clipped.until + ceiling, block.firstUp() - 1);
      stage.expect('clipped key', block.firstAt, end, (heard) =>
        firstOf(
          () => voicingFault(stage, heard.ringing(end), wanted),
          () => steadyBassFault(stage, heard, wanted, block.firstAt, end, [note]),
          () => {
            const anew = heard.strikes(clipped.until, end);
            return anew.length > 1
              ? `${namesOf(anew.map((span) => span.note))} are struck when ${nameOf(note)} lifts`
              : undefined;
          },
        ),
      );
      stage.now += beat * random.between(1, 1.3);
    }
  },
};

/** One finger's keys, each after the last, tied or nearly so. */
function fingerStrokes(stage: Stage, notes: readonly number[], at: number, step: number): Stroke[] {
  const { random } = stage;
  return notes.map((note, place) =>
    stage.strike(
      note,
      at + place * step,
      at + (place + 1) * step + random.between(-12, 12) * milliseconds,
      {
        louder: random.between(-8, 14),
      },
    ),
  );
}

function fingerFault(heard: Heard, stroke: Stroke, hasBass: boolean): Fault {
  const before = heard.ringing(stroke.at - 1);
  const at = Math.min(stroke.at + ceiling, stroke.until - 1);
  const struck = heard.strikes(stroke.at, at);
  const after = heard.ringing(at);
  const [only] = struck;
  const name = nameOf(stroke.note);
  if (only === undefined) return `${name} strikes nothing`;
  if (struck.length > 1) return `${name} strikes ${namesOf(struck.map((span) => span.note))}`;
  if (only.note % 12 !== stroke.note % 12) return `${name} strikes ${nameOf(only.note)}`;
  if (only.velocity !== stroke.velocity) {
    return `${name} is struck with ${stroke.velocity} and sounds with ${only.velocity}`;
  }
  const gone = without(before, after);
  if (gone.length > 1) return `${name} ends ${namesOf(gone)}`;
  if (hasBass && before[0] !== after[0]) return `${name} moves the bass`;
  return undefined;
}

type Figure = {
  readonly wanted: Wanted;
  readonly finger: number;
  readonly notes: readonly number[];
};

/** A trill with the next note of the scale, a suspension resolved, or a sixth there and back. */
function figure(stage: Stage): Figure {
  const { random } = stage;
  const kind = random.below(3);
  if (kind === 0) {
    const wanted = stage.nextChord(hand);
    const finger = 1 + random.below(wanted.notes.length - 1);
    const main = wanted.notes[finger] ?? hand;
    const [upper = main + 2] = scaleNotes(stage.tonality, main + 1, main + 3).filter(
      (note) => !wanted.notes.includes(note),
    );
    const turns = 2 + random.below(3);
    return { wanted, finger, notes: Array.from({ length: turns }, () => [upper, main]).flat() };
  }
  const plain = stage.nextChord(hand, 'triad');
  if (kind === 1) {
    const tones = [0, 5, 7];
    const wanted = stage.want({
      root: plain.root,
      tones,
      notes: gripTurned(plain.root, tones, 0, hand),
    });
    const third = (wanted.notes[0] ?? hand) + (plain.tones[1] ?? 4);
    return { wanted, finger: 1, notes: [third] };
  }
  const notes = gripTurned(plain.root, plain.tones, 0, hand);
  const wanted = stage.want({ ...plain, notes });
  const fifth = notes[2] ?? hand;
  const [sixth = fifth + 2] = scaleNotes(stage.tonality, fifth + 1, fifth + 2).slice(-1);
  return { wanted, finger: 2, notes: [sixth, fifth] };
}

/**
 * Each new key of the moving finger strikes one voice: a note of the key's own name, as loud as the
 * key; at most one voice ends for it, and the bass and all others ring on.
 */
export const oneFinger: Way = {
  id: 'one-finger',
  about: 'one finger trills or moves (4–3, 6–5), the others held',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(hand);
    const hasBass = stage.preset.bass.policy !== 'none';
    for (let gesture = 0; gesture < 2; gesture += 1) {
      const { wanted, finger, notes } = figure(stage);
      const isTrill = notes.length > 2;
      const step = (isTrill ? random.between(80, 140) : random.between(250, 450)) * milliseconds;
      const start = stage.now + Math.max(300 * milliseconds, beat * random.between(0.5, 1));
      const block = stage.block(wanted, stage.now, start - stage.now);
      const moving = fingerStrokes(stage, notes, start, step);
      const end = start + notes.length * step + random.between(10, 60) * milliseconds;
      block.strokes.forEach((stroke, place) => {
        if (place !== finger) stroke.until = Math.round(end + random.between(0, 20) * milliseconds);
        else stroke.until = Math.round(start + random.between(-12, 12) * milliseconds);
      });
      stage.expect('chord', block.firstAt, settled(block), (heard) =>
        voicingFault(stage, heard.ringing(settled(block)), wanted),
      );
      stage.expect('moving finger', start, end, (heard) =>
        moving
          .map((stroke) => fingerFault(heard, stroke, hasBass))
          .find((fault) => fault !== undefined),
      );
      stage.now = end + beat * random.between(0.5, 1);
    }
  },
};
