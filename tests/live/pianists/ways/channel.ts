import { pick, scaleNotes } from '../chords.ts';
import { ceiling, firstOf, keptFault, nameOf, voicingFault } from '../rules.ts';
import { milliseconds, topOf, type Way } from './way.ts';

/**
 * What is played on channel 2 sounds on it as it is played, and nothing else does; the chord on channel
 * 1 is voiced there as if it were alone, struck once, whatever comes with it, before it or after it.
 */
export const twoChannels: Way = {
  id: 'two-channels',
  about: 'a chord on channel 1, a melody or a bass on channel 2',
  play(stage) {
    const { random } = stage;
    const isBass = random.chance(0.5);
    const hand = isBass ? 62 : 52;
    stage.warmUp(hand);
    const beat = Math.max(stage.beat, 500 * milliseconds);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const wanted = stage.nextChord(hand);
      const block = stage.block(wanted, stage.now, beat * random.between(0.65, 0.85));
      const top = topOf(wanted.notes);
      const notes = isBass
        ? scaleNotes(stage.tonality, 33, 48)
        : scaleNotes(stage.tonality, top + 1, top + 16);
      const count = 1 + random.below(3);
      const start = random.chance(0.5) ? random.between(-12, 12) : random.between(-120, 140);
      const step = random.between(120, 200) * milliseconds;
      const line = Array.from({ length: count }, (_, place) => {
        const at = stage.now + start * milliseconds + place * step;
        return stage.strike(pick(random, notes), at, at + step * random.between(0.6, 0.95), {
          channel: 1,
          louder: random.between(-4, 16),
        });
      });
      const from = Math.min(block.firstAt, line[0]?.at ?? block.firstAt);
      const at = Math.min(block.lastAt + ceiling, block.firstUp() - 1);
      const to = block.firstUp() - 1;
      stage.expect('chord beside another channel', from, to, (heard) => {
        const other = heard
          .strikes(from, to)
          .find((span) => span.channel === 1 && !line.some(({ note }) => note === span.note));
        const struck = heard.strikes(from, to).filter((span) => span.channel === 0);
        const voicing = heard.ringing(at, 0);
        return firstOf(
          () => line.map((stroke) => keptFault(heard, stroke)).find((fault) => fault !== undefined),
          () => other && `${nameOf(other.note)} sounds on channel 2`,
          () => voicingFault(stage, voicing, wanted, { bass: isBass ? 'any' : 'own' }),
          () => (struck.length > voicing.length ? 'voices are struck more than once' : undefined),
        );
      });
      for (const stroke of line) {
        stage.keeps.push({ stroke, judge: (heard) => keptFault(heard, stroke) });
      }
      stage.now += beat * random.between(1, 1.3);
    }
  },
};
