import { recognise } from '../../../../src/harmony/recognition/recognise.ts';
import { gripTurned, type Wanted } from '../chords.ts';
import {
  ceiling,
  firstOf,
  keptFault,
  nameOf,
  onceFault,
  onlyFault,
  settled,
  voicingFault,
  without,
} from '../rules.ts';
import { rootOfSymbol, type Stage } from '../stage.ts';
import { milliseconds, topOf, type Way } from './way.ts';

const hand = 58;
/** Three keys of four may be another chord for as long as the fourth is on its way. */
const passing = 30 * milliseconds;

/** A key above the chord that makes a set nobody has a name for. */
function strangersTo(stage: Stage, { notes }: Wanted): number[] {
  const top = topOf(notes);
  const key = stage.key === undefined ? {} : { key: stage.key };
  return Array.from({ length: 11 }, (_, up) => top + 2 + up).filter((note) =>
    [true, false].every(
      (hasBass) => recognise([...notes, note], { ...key, hasBass }) === undefined,
    ),
  );
}

/**
 * The stranger sounds as it is played, no voice on its pitch; the rest is a voicing of the chord; what
 * was struck before the last key told what it is is withdrawn within 30 ms; and the stage names the
 * chord.
 */
export const stranger: Way = {
  id: 'stranger',
  about: 'a chord with a stranger in it on top (Ab C Eb with B)',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(hand);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const wanted = stage.nextChord(
        hand,
        undefined,
        (meant) =>
          strangersTo(stage, { ...meant, reference: { notes: [], symbol: '' } }).length > 0,
      );
      const strangers = strangersTo(stage, wanted);
      const note = strangers[random.below(strangers.length)] ?? 0;
      const block = stage.block(wanted, stage.now, beat * random.between(0.6, 0.85));
      const at = random.between(block.firstAt, block.lastAt);
      const key = stage.strike(note, at, block.lastUp() + random.between(-30, 10) * milliseconds, {
        louder: random.between(0, 14),
      });
      const end = Math.min(settled(block), key.until - 1);
      stage.expect('stranger', block.firstAt, end, (heard) => {
        const symbol = heard.shownAt(end)?.heard.symbol ?? '';
        return firstOf(
          () => keptFault(heard, key),
          () => voicingFault(stage, without(heard.ringing(end), [note]), wanted, { lines: [note] }),
          () => onceFault(heard, block.firstAt, end, passing),
          () =>
            rootOfSymbol(symbol) === wanted.root
              ? undefined
              : `the stage says ${symbol || 'nothing'} for ${wanted.reference.symbol} with ${nameOf(note)}`,
        );
      });
      stage.keeps.push({ stroke: key, judge: (heard) => keptFault(heard, key) });
      stage.now += beat * random.between(1, 1.3);
    }
  },
};

/** Every key of the cluster sounds as it is played, and nothing else is struck. */
export const cluster: Way = {
  id: 'cluster',
  about: 'a cluster of semitones after triads',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(hand);
    for (let gesture = 0; gesture < 3; gesture += 1) {
      const lowest = 50 + random.below(24);
      const tones = Array.from({ length: 3 + random.below(3) }, (_, up) => up);
      const notes = tones.map((up) => lowest + up);
      const block = stage.block(
        { root: lowest % 12, tones, notes },
        stage.now,
        beat * random.between(0.4, 0.8),
      );
      const to = block.lastUp() + ceiling;
      stage.expect('cluster', block.firstAt, to, (heard) =>
        firstOf(
          () => onlyFault(heard, block.firstAt, to, block.strokes),
          () =>
            block.strokes
              .map((stroke) => keptFault(heard, stroke))
              .find((each) => each !== undefined),
        ),
      );
      stage.now += beat * random.between(1, 1.3);
      if (random.chance(0.5)) {
        const wanted = stage.nextChord(hand);
        const chord = stage.block(wanted, stage.now, beat * random.between(0.55, 0.85));
        stage.expect('chord after it', chord.firstAt, settled(chord), (heard) =>
          voicingFault(stage, heard.ringing(settled(chord)), wanted),
        );
        stage.now += beat;
      }
    }
  },
};

/** Seventh, ninth, third, thirteenth of a dominant; in the other form third and thirteenth are below. */
const forms = [
  [10, 14, 16, 21],
  [4, 9, 10, 14],
] as const;
const leftHand = 54;

/**
 * In a key the rootless form of its dominant is heard as that dominant with its thirteenth, and sent as
 * a voicing of it, bass and all; the reading as a major seventh on the fourth degree stands as
 * runner-up.
 */
export const rootlessHand: Way = {
  id: 'rootless',
  about: 'a rootless left hand in a key (F A B E in C)',
  key: 'major',
  play(stage) {
    const { random, beat, tonality } = stage;
    stage.warmUp(leftHand, 4);
    const root = (tonality.tonic + 7) % 12;
    // The lowest key of such a hand is no root, and where the bass is as played it is the bass.
    const bass = stage.preset.bass.policy === 'as-played' ? 'any' : 'own';
    for (let gesture = 0; gesture < 3; gesture += 1) {
      stage.block(stage.nextChord(leftHand, 'seventh'), stage.now, beat * 0.8);
      stage.now += beat;
      const full = [0, 4, 10, 14, 21];
      const plain = gripTurned(root, [0, 4, 7, 10], 0, leftHand);
      const form = forms[random.below(2)] ?? forms[0];
      const shape = gripTurned(root, form, 0, leftHand);
      const wanted = { ...stage.want({ root, tones: full, notes: plain }), notes: shape };
      const block = stage.block(wanted, stage.now, beat * random.between(0.6, 0.85));
      const at = settled(block);
      stage.expect('rootless dominant', block.firstAt, at, (heard) => {
        const report = heard.shownAt(at);
        const symbol = report?.heard.symbol ?? '';
        const runnerUp = report?.heard.runnerUp ?? '';
        const isDominant = /^[A-G][b#]*(13|7|9)/.test(symbol) && symbol.includes('13');
        return firstOf(
          () =>
            rootOfSymbol(symbol) === root && isDominant
              ? undefined
              : `${shape.map(nameOf).join(' ')} is called ${symbol || 'nothing'}`,
          () =>
            rootOfSymbol(runnerUp) === (tonality.tonic + 5) % 12
              ? undefined
              : `the runner-up is ${runnerUp || 'nothing'}`,
          () => voicingFault(stage, heard.ringing(at), wanted, { bass, most: shape.length + 1 }),
        );
      });
      stage.now += beat;
      const tonic = stage.nextChord(leftHand, 'seventh', (meant) => meant.root === tonality.tonic);
      stage.block(tonic, stage.now, beat * 0.8);
      stage.now += beat;
    }
  },
};
