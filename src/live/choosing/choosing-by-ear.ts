/**
 * A player who chooses by ear: turns the chord that sounds, or sounded last, to another voicing, which is
 * heard at once where keys hold the chord, and keeps it.
 */
import type { Message } from '../../midi/message.ts';
import type { KeptScope } from '../../voicing/kept.ts';
import type { ChordLife } from '../chord/chord-life.ts';
import type { ChordSurroundings } from '../chord/chord-player-api.ts';
import type { LedFrom } from '../chord/led-from.ts';
import type { SoundingChord } from '../chord/sounding-chord.ts';
import type { Telling } from '../chord/telling.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import type { Touch } from '../velocity.ts';
import type { Voiced, Voicer } from '../voicing/voicer-api.ts';
import type { ChoiceStep } from './choice-step.ts';
import { type ChoiceScene, type Choosing, createChoosing, nothingToChoose } from './choosing.ts';
import { keptOf } from './keeping.ts';

export type ChoosingByEar = Pick<Choosing, 'recall' | 'around' | 'forget'> & {
  readonly choose: (step: ChoiceStep, at: number, out: Message[]) => void;
  /** The voicing of the last chord is to be kept: it is told once more, as what to keep. */
  readonly keep: (scope: KeptScope, at: number) => void;
  /** For the pauses: a piece of what the player may turn to; false: nothing is left to make. */
  readonly prepare: () => boolean;
};

type Around = Pick<ChordSurroundings, 'log' | 'neighboursOf'> & {
  readonly voicer: () => Voicer;
  readonly life: ChordLife;
  readonly ledFrom: LedFrom;
  readonly telling: Telling;
  /** What sounds is to sound so. */
  readonly sound: (
    keys: readonly HeldKey[],
    touch: readonly Touch[],
    voiced: Voiced,
    at: number,
    out: Message[],
  ) => void;
};

export function createChoosingByEar(around: Around): ChoosingByEar {
  const { life, ledFrom, log, telling, neighboursOf, voicer } = around;
  const choosing = createChoosing();

  /** Where a player who chooses for this chord begins. */
  const sceneOf = ({ voiced, touch }: SoundingChord): ChoiceScene => {
    const neighbours = life.sounding === undefined ? {} : neighboursOf(touch);
    const lead = Math.max(...touch.map((key) => key.note));
    return {
      voiced,
      ground: voicer().groundOf(voiced.harmony.chord, { lead, neighbours }),
      before: ledFrom.voicing(true),
      isBassHeld: neighbours.bass !== undefined,
      key: voicer().key,
    };
  };

  return {
    recall: choosing.recall,
    around: choosing.around,
    forget: choosing.forget,
    prepare: () => life.latest !== undefined && choosing.prepare(sceneOf(life.latest)),
    choose(step, at, out) {
      const { sounding, latest } = life;
      const stepped = latest && choosing.step(step, sceneOf(latest));
      if (latest === undefined || stepped?.ok !== true) {
        log.say(stepped?.problem ?? nothingToChoose);
        return;
      }
      if (sounding !== undefined) {
        around.sound(sounding.keys, latest.touch, stepped.voiced, at, out);
        return;
      }
      const chosen = life.renameLast(stepped.voiced);
      if (chosen) telling.chord(chosen, at, undefined, { isRevoiced: true, isUnheard: true });
    },
    keep(scope, at) {
      const { latest } = life;
      const kept = latest && keptOf(latest.voiced, voicer().key, scope);
      if (latest === undefined || kept?.ok !== true) {
        log.say(kept?.problem ?? nothingToChoose);
        return;
      }
      const isUnheard = life.sounding === undefined;
      telling.chord(latest, at, undefined, { isRevoiced: true, isUnheard, kept: kept.value });
    },
  };
}
