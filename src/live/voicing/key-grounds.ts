/**
 * What depends on the key that holds: how far chords grow in it, the frame their voicings stand in, and
 * the lists of candidates that were made there. Made once for each key that is met.
 */
import { createGrower, type Grower } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import { frameOf } from '../../presets/frame.ts';
import type { Candidates } from '../../voicing/choose.ts';
import type { Frame } from '../../voicing/voicing.ts';
import type { Setup } from '../engine-api.ts';

/** A frame and the lists of candidates that were made in it. */
export type Room = {
  readonly frame: Frame;
  readonly kept: Map<number, Candidates>;
};

/** Everything that depends on the key: made once for each key that is met. */
export type KeyGround = Room & {
  readonly key: Key | undefined;
  readonly grow: Grower;
  /** Rooms beside other notes that sound. */
  readonly beside: Map<number, Room>;
};

/**
 * Lists of voicings that are kept: some hundred chords in every key and inversion. Beyond, all are
 * forgotten, or a long evening in ever new keys would fill the memory.
 */
const mostLists = 3000;
export type KeyGrounds = {
  readonly in: (key: Key | undefined) => KeyGround;
  /** One more list is made; where there are too many, the others are forgotten first. */
  readonly noteList: () => void;
};

export function createKeyGrounds(setup: Setup): KeyGrounds {
  const { growth, family = {} } = setup.preset;
  const known = new Map<Key | undefined, KeyGround>();
  let lists = 0;
  const noteList = (): void => {
    lists += 1;
    if (lists <= mostLists) return;
    lists = 1;
    for (const { kept, beside } of known.values()) {
      kept.clear();
      for (const room of beside.values()) room.kept.clear();
    }
  };
  const placeIn = (key: Key | undefined): KeyGround => {
    const before = known.get(key);
    if (before !== undefined) return before;
    const frame = frameOf(setup.preset, setup, key);
    const growing = createGrower(key, growth, family);
    const growingNothing = createGrower(key, 'as-played', family);
    const grow: Grower = (chord) =>
      chord.written?.isAll === true ? growingNothing(chord) : growing(chord);
    const place = { key, frame, grow, kept: new Map(), beside: new Map() };
    known.set(key, place);
    return place;
  };
  return { in: placeIn, noteList };
}
