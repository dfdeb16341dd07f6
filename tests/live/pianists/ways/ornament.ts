import { type Meant, pick, type Wanted } from '../chords.ts';
import type { Heard } from '../hearing.ts';
import {
  ceiling,
  firstOf,
  keptFault,
  mayHave,
  nameOf,
  namesOf,
  onceFault,
  voicingFault,
  without,
} from '../rules.ts';
import type { Block, Fault, Stage, Stroke } from '../stage.ts';
import { lowestOf, milliseconds, type Way } from './way.ts';

const hand = 62;
/** An inner voice heard no longer than this is no chord of its own. */
const passing = 15 * milliseconds;

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
 * alone (15 ms of another inner voice, while its keys come down, are forgiven). Crushed into the chord, with the main note after it, the grace note may stand in the voicing
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
      // Into a major third in root position: elsewhere the crush is a chord of another root.
      const wanted = stage.nextChord(hand, undefined, (chord) =>
        isCrushed
          ? lowestOf(chord.notes) % 12 === chord.root && chord.tones.includes(4)
          : gracedPlaces(stage, chord).length > 0,
      );
      const block = stage.block(wanted, stage.now, beat * random.between(0.7, 0.85));
      const place = isCrushed ? 1 : pick(random, gracedPlaces(stage, wanted));
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

/** The keys a semitone above a note that no voicing of the chord has. */
function gracedPlaces(stage: Stage, chord: Meant): number[] {
  return [0, 1, 2].filter((place) => !mayHave(stage, chord, (chord.notes[place] ?? 0) - 1));
}

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
      () => voicingFault(stage, heard.ringing(at), isCrushed ? asPlayed(wanted) : wanted),
      () => steadyBassFault(stage, heard, wanted, from, at, [grace.note]),
      () => (isCrushed ? undefined : keptFault(heard, grace)),
      () => (isCrushed ? undefined : withoutGrace(heard, from, struckBy, grace)),
      () => (isCrushed ? movedFault(heard, block.lastAt + ceiling, at) : undefined),
    ),
  );
}

/**
 * Where only one voice may move, the voicing of the crushed chord serves with the main note in it: of
 * the clean block's tones those that are played are asked for, and no others.
 */
function asPlayed(wanted: Wanted): Wanted {
  const { reference, notes } = wanted;
  const isPlayed = (note: number) => notes.some((each) => each % 12 === note % 12);
  return { ...wanted, reference: { ...reference, notes: reference.notes.filter(isPlayed) } };
}

/** Everything but the grace note is struck once. */
function withoutGrace(heard: Heard, from: number, to: number, grace: Stroke): Fault {
  const strikes = (start: number, end: number) =>
    heard.strikes(start, end).filter((span) => span.note !== grace.note);
  return onceFault({ strikes }, from, to, passing);
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
      const softest = Math.min(...block.strokes.map((stroke) => stroke.velocity));
      const clipped = stage.strike(note, at, at + random.between(40, 80) * milliseconds, {
        velocity: softest * random.between(0.2, 0.5),
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
