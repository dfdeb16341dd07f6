import { rolledPresets } from '../presets.ts';
import { ceiling, firstOf, namesOf, voicingFault } from '../rules.ts';
import { milliseconds, type Way } from './way.ts';

const hand = 57;

/**
 * When the last key of the roll has come and the ceiling is over, what rings (under the pedal too) is
 * the voicing of the chord and nothing else: no key as it was played, no note of the chord before.
 */
export const balladRoll: Way = {
  id: 'ballad-roll',
  about: 'a ballad roll, 30 ms a step and slower, the pedal changed with its first note',
  play(stage) {
    const { random } = stage;
    stage.warmUp(hand);
    const beat = Math.max(stage.beat, 800 * milliseconds);
    stage.pedal(127, stage.now - 100 * milliseconds);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const wanted = stage.nextChord(hand);
      const step = random.between(30, 85) * milliseconds;
      const until = stage.now + beat * random.between(0.75, 0.95);
      const strokes = wanted.notes.map((note, place) =>
        stage.strike(
          note,
          stage.now + step * place * random.between(0.9, 1.1),
          until + random.between(0, 40) * milliseconds,
        ),
      );
      const block = stage.asBlock(wanted, strokes);
      const first = block.firstAt;
      const up = first + random.between(-10, 30) * milliseconds;
      stage.pedal(0, up);
      stage.pedal(127, up + random.between(60, 160) * milliseconds);
      const last = block.lastAt;
      const end = until - milliseconds;
      stage.expect('roll', Math.min(first, up), last + ceiling, (heard) =>
        firstOf(
          () => voicingFault(stage, heard.ringing(last + ceiling), wanted),
          () => voicingFault(stage, heard.ringing(end), wanted),
        ),
      );
      stage.now += beat;
    }
    stage.pedal(0, stage.now);
    stage.now += beat;
  },
};

/**
 * Every voice of the roll sounds and rings under the pedal, though the keys are up before it is over;
 * with the pedal it ends.
 */
export const rolledPreset: Way = {
  id: 'rolled-preset',
  about: 'a preset that rolls, short keys, the pedal down',
  presets: rolledPresets,
  play(stage) {
    const { random, preset } = stage;
    stage.warmUp(hand);
    const roll = (preset.playing?.roll?.milliseconds ?? 0) * milliseconds;
    const beat = Math.max(stage.beat, 600 * milliseconds);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const wanted = stage.nextChord(hand);
      stage.pedal(127, stage.now - random.between(10, 60) * milliseconds);
      const block = stage.block(wanted, stage.now, random.between(45, 90) * milliseconds);
      const at = Math.max(block.lastAt, block.lastUp()) + roll + ceiling;
      const lift = stage.now + beat * 0.85;
      stage.pedal(0, lift);
      stage.expect('roll under the pedal', block.firstAt, lift, (heard) => {
        const ringing = heard.ringing(at);
        const voices = wanted.reference.notes.length;
        const left = heard.ringing(lift + milliseconds);
        return firstOf(
          () =>
            ringing.length < voices ? `${ringing.length} of ${voices} voices sound` : undefined,
          () => voicingFault(stage, ringing, wanted),
          () => (left.length > 0 ? `${namesOf(left)} rings on without the pedal` : undefined),
        );
      });
      stage.now += beat;
    }
  },
};
