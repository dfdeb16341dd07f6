/**
 * Taking a shape from the hands: after it was asked for, the next keys sound as they are played, and
 * once all of them are up again, those that were down together are the shape. Of the chord that was
 * held plainly when it was asked for; else the grip's own reading says the root.
 */
import { createGrower, type Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import { techniqueOf } from '../../harmony/naming/technique.ts';
import { type Chord, recognise } from '../../harmony/recognition/recognise.ts';
import { formatChord } from '../../harmony/symbol/symbol.ts';
import type { Preset } from '../../presets/preset.ts';
import { shapeOf } from '../../voicing/shape-of.ts';
import { namesOf } from '../../voicing/sounding.ts';
import { tendenciesOf } from '../../voicing/tendencies.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import type { TakenShape } from '../snapshot.ts';

export type Taking = {
  /** Asked for, or taken back; answers with a sentence. */
  readonly ask: (about: Chord | undefined, key: Key | undefined) => string;
  readonly isOn: () => boolean;
  readonly press: (key: HeldKey) => void;
  /** A key came up; a sentence where that ends the grip, else ''. */
  readonly release: (key: HeldKey, inKey: Key | undefined, preset: Preset) => string;
  readonly taken: () => TakenShape | undefined;
  readonly forget: () => void;
};

/** Two notes are an interval. */
const fewestNotes = 3;

export function createTaking(): Taking {
  let isOn = false;
  let about: Chord | undefined;
  let down: HeldKey[] = [];
  /** The most keys that were down together, the last such. */
  let grip: readonly number[] = [];
  let taken: TakenShape | undefined;

  const stop = (): void => {
    isOn = false;
    about = undefined;
    down = [];
    grip = [];
  };

  const finish = (key: Key | undefined, { family = {} }: Preset): string => {
    const notes = [...new Set(grip)].sort((one, other) => one - other);
    grip = [];
    if (notes.length < fewestNotes) {
      return 'A shape has three notes or more, down together; play it once more.';
    }
    const chord = about ?? recognise(notes, key === undefined ? {} : { key });
    if (chord === undefined) {
      stop();
      return 'These notes name no chord by themselves, so that their degrees are not known; hold the chord plainly, take the shape again and play it.';
    }
    const harmony = createGrower(key, 'thirteenths', family)(chord);
    taken = described(notes, harmony, key, (taken?.count ?? 0) + 1);
    stop();
    return '';
  };

  return {
    ask(chord, key) {
      if (isOn) {
        stop();
        return 'No shape is taken.';
      }
      isOn = true;
      about = chord;
      const what = chord === undefined ? 'a chord' : formatChord(chord, key);
      return `Play ${what} as you would voice it; its shape is taken when you let go.`;
    },
    isOn: () => isOn,
    press(key) {
      down.push(key);
      if (down.length >= grip.length) grip = down.map(({ note }) => note);
    },
    release(key, inKey, preset) {
      if (!isOn || !down.includes(key)) return '';
      down = down.filter((each) => each !== key);
      return down.length > 0 ? '' : finish(inKey, preset);
    },
    taken: () => taken,
    forget: stop,
  };
}

function described(
  notes: readonly number[],
  harmony: Harmony,
  key: Key | undefined,
  count: number,
): TakenShape {
  const { text, hasBass, others } = shapeOf(notes, harmony);
  const upper = hasBass ? notes.slice(1) : notes;
  const { id, label } = techniqueOf(notes, harmony.chord);
  const tendencies = tendenciesOf(upper, harmony);
  const bass = hasBass ? notes[0] : undefined;
  const { voices } = namesOf({ bass, upper, notes, label, price: 0, tendencies }, harmony, key);
  return {
    count,
    text,
    chord: formatChord(harmony.chord, key),
    technique: id,
    label,
    notes: notes.map((note, voice) => ({ note, name: voices[voice] ?? '' })),
    hasBass,
    others,
  };
}
