import { has, setOfNotes } from '../../../../src/harmony/pitch/pitch-class-set.ts';
import { gripTurned, scaleNotes, type Wanted } from '../chords.ts';
import type { Heard } from '../hearing.ts';
import {
  ceiling,
  hasPitchClass,
  nameOf,
  namesOf,
  settled,
  voicingFault,
  without,
} from '../rules.ts';
import type { Fault, Stage, Stroke } from '../stage.ts';
import { milliseconds, type Way } from './way.ts';

const hand = 62;

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

type Move = {
  /** The key the finger comes from. */
  readonly last: Stroke;
  readonly stroke: Stroke;
  /** Pitch classes the voicing had above its bass before the finger moved, without the finger's own. */
  readonly others: number;
  readonly hasBass: boolean;
};

function fingerFault(heard: Heard, { last, stroke, others, hasBass }: Move): Fault {
  const before = heard.ringing(stroke.at - 1);
  const at = Math.min(Math.max(stroke.at, last.until) + ceiling, stroke.until - 1);
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
  if (hasBass && before[0] !== after[0]) return `${name} moves the bass`;
  const gone = without(before, after);
  if (gone.length > 1) return `${name} ends ${namesOf(gone)}`;
  const upper = before.slice(hasBass ? 1 : 0);
  const mayStay = has(others, last.note % 12);
  if (gone.length === 0 && !mayStay && hasPitchClass(upper, last.note)) {
    return `${nameOf(last.note)} sounds on beside ${name}`;
  }
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
    const isFree = (note: number): boolean => !wanted.notes.includes(note);
    const [inScale] = scaleNotes(stage.tonality, main + 1, main + 3).filter(isFree);
    // Where the next of the scale is another finger's, the one between; nobody trills with a held key.
    const upper = inScale ?? [main + 1, main + 2].find(isFree) ?? main + 2;
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
 * key; a voice that had the name of the key before ends for it, and the bass and all others ring on.
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
      const from = block.strokes[finger];
      if (from !== undefined) stage.fingers.push({ block, from, moving });
      stage.expect('moving finger', start, end, (heard) => {
        const upper = heard.ringing(start - 20 * milliseconds).slice(hasBass ? 1 : 0);
        const others = setOfNotes(upper) & ~(1 << ((from?.note ?? 0) % 12));
        return moving
          .map((stroke, place) => {
            const last = moving[place - 1] ?? from ?? stroke;
            return fingerFault(heard, { last, stroke, others, hasBass });
          })
          .find((fault) => fault !== undefined);
      });
      stage.now = end + beat * random.between(0.5, 1);
    }
  },
};
