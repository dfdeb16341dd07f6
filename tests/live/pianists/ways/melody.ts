import { pick, scaleNotes, type Wanted } from '../chords.ts';
import {
  beneathFault,
  besideFault,
  ceiling,
  firstOf,
  keptFault,
  onceFault,
  voicingFault,
  without,
} from '../rules.ts';
import type { Block, Stage, Stroke } from '../stage.ts';
import { lowestOf, milliseconds, topOf, type Way } from './way.ts';

const leftHand = 50;

/**
 * A note of the key for the other hand: at least a fifth above the chord, and further from its lowest
 * key than one hand reaches.
 */
function melodyNote(stage: Stage, wanted: Wanted): number {
  const low = Math.max(67, topOf(wanted.notes) + 7, lowestOf(wanted.notes) + 14);
  return pick(stage.random, scaleNotes(stage.tonality, low, Math.max(84, low + 4)));
}

function keep(stage: Stage, stroke: Stroke): void {
  stage.keeps.push({ stroke, judge: (heard) => keptFault(heard, stroke) });
}

/** The voicing that sounds beside the melody, when everything has come. */
function judgeVoicing(stage: Stage, name: string, block: Block, wanted: Wanted, melody: Stroke) {
  const from = Math.min(block.firstAt, melody.at);
  const at = Math.min(
    Math.max(block.lastAt, melody.at) + ceiling,
    block.firstUp() - 1,
    melody.until - 1,
  );
  const isAfter = melody.at > block.lastAt + ceiling;
  // A chord that was there before its melody may give way to it.
  const struckBy = melody.at > block.lastAt ? melody.at - 1 : at;
  stage.expect(name, from, at, (heard) => {
    const ringing = heard.ringing(at);
    const voicing = without(ringing, [melody.note]);
    const earlier = isAfter ? heard.ringing(melody.at - 1) : [];
    return firstOf(
      () => keptFault(heard, melody),
      () => voicingFault(stage, voicing, wanted, { lines: [melody.note] }),
      () => besideFault(voicing, melody.note),
      () => beneathFault(without(voicing, earlier), melody.note),
      () => onceFault(heard, from, struckBy),
    );
  });
}

/** Chords with a melody note each, struck `offset` milliseconds after (or before) the chord. */
function playMelody(stage: Stage, offset: () => number): void {
  const { random, beat } = stage;
  stage.warmUp(leftHand);
  // Room for the slow ones at quick tempos.
  const step = Math.max(beat, 620 * milliseconds) * random.between(1, 1.4);
  for (let gesture = 0; gesture < 3; gesture += 1) {
    const wanted = stage.nextChord(leftHand);
    const block = stage.block(wanted, stage.now, step * random.between(0.7, 0.85));
    const moved = offset() * milliseconds;
    const at = moved < 0 ? block.firstAt + moved : block.lastAt + moved;
    const until = stage.now + step * random.between(0.6, 0.85);
    const melody = stage.strike(melodyNote(stage, wanted), at, until, {
      louder: random.between(10, 28),
    });
    judgeVoicing(stage, 'melody and chord', block, wanted, melody);
    keep(stage, melody);
    stage.now += step;
  }
}

/**
 * The melody sounds at its own pitch and velocity within the ceiling and ends with its key; beneath
 * it is a voicing of the left hand's chord, with no voice on its pitch or a semitone beside it; each
 * note is struck once and none is withdrawn, but for what a melody that comes last makes give way.
 */
export const melodyWithChord: Way = {
  id: 'melody-with',
  about: "a melody note struck with the left hand's chord",
  play(stage) {
    playMelody(stage, () => stage.random.between(-12, 4));
  },
};

/**
 * The same for a melody note struck by itself: after the chord it may find voices above it that sound
 * already, which stay, but for those on its pitch or a semitone beside it; before the chord it is
 * neither held back, nor cut, nor struck again when the chord comes.
 */
export const melodyBeside: Way = {
  id: 'melody-beside',
  about: 'a melody note 60 to 140 ms after the chord or before it',
  play(stage) {
    const isBefore = stage.random.chance(0.5);
    playMelody(stage, () => stage.random.between(60, 140) * (isBefore ? -1 : 1));
  },
};
