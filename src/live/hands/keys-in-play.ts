/** The keys of one hand that may be of its chord, and what they are taken for now. */
import { thoseThat } from '../../common/those-that.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import type { Voicer } from '../voicing/voicer-api.ts';
import type { Gathering } from './gather.ts';
import {
  nothing,
  type Placement,
  type Scene,
  type StillSounding,
  tell,
  tellMoment,
} from './hand.ts';
import type { HandSurroundings } from './hand-player-api.ts';
import type { HeldKey } from './held-keys.ts';
import type { UsualChords } from './usual-chords.ts';

export type KeysInPlay = {
  readonly all: () => readonly HeldKey[];
  /** As hand.ts is to see them. */
  readonly sceneAt: (at: number) => Scene;
  /** What they are when those that wait have been struck. */
  readonly told: (waiting: readonly HeldKey[], at: number) => Placement;
  /** What they would be without this one. */
  readonly toldWithout: (key: HeldKey, at: number) => Placement;
};

/** All that bears on what keys are told to be; where nothing of it has changed they are the same. */
type Seen = {
  readonly lastAt: number;
  /** How many keys wait. */
  readonly waiting: number;
  readonly held: readonly HeldKey[];
  readonly left: StillSounding | undefined;
  readonly leftKeys: readonly HeldKey[] | undefined;
  readonly voicer: Voicer;
  readonly gathering: Gathering;
};

function isSame(one: Seen, other: Seen): boolean {
  return (
    one.lastAt === other.lastAt &&
    one.waiting === other.waiting &&
    one.held === other.held &&
    one.left === other.left &&
    one.leftKeys === other.leftKeys &&
    one.voicer === other.voicer &&
    one.gathering === other.gathering
  );
}

export function createKeysInPlay(
  chord: ChordPlayer,
  { held, isOwn, gathering, areMomentsWhole }: HandSurroundings,
  usual: UsualChords,
): KeysInPlay {
  const isInPlay = (key: HeldKey): boolean =>
    key.role !== 'apart' && key.role !== 'spent' && isOwn(key);

  const all = (): readonly HeldKey[] => thoseThat(held.all(), isInPlay);

  /** What was told last, and of what. */
  let known: { readonly of: Seen; readonly placement: Placement } | undefined;

  const seenAt = (lastAt: number, waiting: number): Seen => {
    const left = chord.sounding();
    return {
      lastAt,
      waiting,
      held: held.all(),
      left,
      leftKeys: left?.keys,
      voicer: chord.voicer(),
      gathering: gathering(),
    };
  };

  const sceneAt = (at: number): Scene => {
    const { hands } = chord.playing();
    const { keys: usualKeys, spreadMicroseconds: spread } = gathering().learned();
    const scene = {
      down: all(),
      at,
      left: chord.sounding(),
      spread,
      usualKeys,
      isPlainUsual: usual.arePlain(),
      isMixing: gathering().isMixing(),
      reading: chord.reading,
      isTold: hands.parts !== 'off',
      isLineTold: !chord.isLeadKept(),
    };
    return hands.parts === 'by-split' ? { ...scene, split: hands.split } : scene;
  };

  return {
    all,
    sceneAt,
    told(waiting, at) {
      const lastAt = waiting.at(-1)?.struckAt ?? at;
      if (areMomentsWhole) return tellMoment(waiting, () => sceneAt(lastAt));
      // As most strokes begin: one key makes no chord.
      if (held.all().length === 1) return nothing;
      // Told when the last of them was struck, and asked again when they are read.
      const seen = seenAt(lastAt, waiting.length);
      if (known !== undefined && isSame(known.of, seen)) return known.placement;
      const placement = tell(sceneAt(lastAt));
      known = { of: seen, placement };
      return placement;
    },
    toldWithout(key, at) {
      const scene = sceneAt(at);
      return tell({ ...scene, down: scene.down.filter((each) => each !== key) });
    },
  };
}
