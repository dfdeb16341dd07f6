import { firstOf, onceFault, settled, voicingFault } from '../rules.ts';
import { milliseconds, type Way } from './way.ts';

/**
 * The voicing of the chord that was struck rings once its keys are down, each note struck once; and
 * nothing else is struck until the hand is up.
 */
export const blocks: Way = {
  id: 'blocks',
  about: 'plain block chords, one a beat: what was right before stays so',
  play(stage) {
    const { random, beat } = stage;
    const hand = 46 + random.below(20);
    stage.warmUp(hand);
    for (let gesture = 0; gesture < 4; gesture += 1) {
      const wanted = stage.nextChord(hand);
      const block = stage.block(wanted, stage.now, beat * random.between(0.55, 0.9));
      const at = settled(block);
      stage.expect('block', block.firstAt, at, (heard) =>
        firstOf(
          () => voicingFault(stage, heard.ringing(at), wanted),
          () => onceFault(heard, block.firstAt, block.firstUp() - milliseconds),
        ),
      );
      stage.now += beat;
    }
  },
};
