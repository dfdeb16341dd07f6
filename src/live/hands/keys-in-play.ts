/** The keys of one hand that may be of its chord, and what they are taken for now. */
import { thoseThat } from '../../common/those-that.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import { type Placement, type Scene, tell, tellMoment } from './hand.ts';
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

export function createKeysInPlay(
  chord: ChordPlayer,
  { held, isOwn, gathering, areMomentsWhole }: HandSurroundings,
  usual: UsualChords,
): KeysInPlay {
  const isInPlay = (key: HeldKey): boolean =>
    key.role !== 'apart' && key.role !== 'spent' && isOwn(key);

  const all = (): readonly HeldKey[] => thoseThat(held.all(), isInPlay);

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
      return areMomentsWhole ? tellMoment(waiting, () => sceneAt(lastAt)) : tell(sceneAt(lastAt));
    },
    toldWithout(key, at) {
      const scene = sceneAt(at);
      return tell({ ...scene, down: scene.down.filter((each) => each !== key) });
    },
  };
}
