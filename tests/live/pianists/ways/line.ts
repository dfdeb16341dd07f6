import { scaleNotes } from '../chords.ts';
import {
  ceiling,
  firstOf,
  keptFault,
  onlyFault,
  ringOnFault,
  settled,
  voicingFault,
} from '../rules.ts';
import type { Block, Stage, Stroke } from '../stage.ts';
import { milliseconds, topOf, type Way } from './way.ts';

/** Around B flat 2: a left hand's chord, well below any line. */
const leftHand = 50;
const highestLine = 88;

/** Steps of the scale up and down, each way for a while, turning at the ends. */
function steps(stage: Stage, count: number, last: number): number[] {
  const { random } = stage;
  let place = random.below(last + 1);
  let direction = random.chance(0.5) ? 1 : -1;
  return Array.from({ length: count }, () => {
    if (random.chance(0.2)) direction = -direction;
    if (place + direction < 0 || place + direction > last) direction = -direction;
    place += direction;
    return place;
  });
}

/** Two keys a step, tied: each pair comes up about when the next is struck. */
function writeLine(stage: Stage, at: number, lowest: number): Stroke[] {
  const { random } = stage;
  const interval = random.chance(0.5) ? 2 : 5;
  const scale = scaleNotes(stage.tonality, lowest, highestLine);
  const places = steps(stage, 8 + random.below(9), Math.min(9, scale.length - 1 - interval));
  const step = random.between(100, 150) * milliseconds;
  const louder = random.between(0, 18);
  return places.flatMap((place, index) => {
    const onset = at + index * step + random.between(-6, 6) * milliseconds;
    const end = at + (index + 1) * step;
    return [scale[place] ?? 72, scale[place + interval] ?? 76].map((note) =>
      stage.strike(
        note,
        onset + random.between(0, 12) * milliseconds,
        end + random.between(-15, 35) * milliseconds,
        { louder },
      ),
    );
  });
}

function judgeLine(stage: Stage, line: readonly Stroke[], under: Block | undefined): void {
  const from = Math.min(...line.map((stroke) => stroke.at));
  const to = Math.max(...line.map((stroke) => stroke.until));
  const before = under === undefined ? from - 1 : settled(under);
  stage.expect('line', under?.firstAt ?? from, to, (heard) => {
    const beneath = under === undefined ? [] : heard.ringing(from - 1);
    const keep = (stroke: Stroke) =>
      keptFault(heard, stroke, { mayGoOn: beneath.includes(stroke.note) });
    return firstOf(
      () => onlyFault(heard, from, to, line),
      () => ringOnFault(heard, beneath, before, to),
      () => line.map(keep).find((fault) => fault !== undefined),
    );
  });
  for (const stroke of line) {
    stage.keeps.push({ stroke, judge: (heard) => keptFault(heard, stroke, { mayGoOn: true }) });
  }
}

/**
 * Every key of the line sounds as it is played, at its pitch and velocity, as long as it is down;
 * nothing else is struck while it runs; the voicing of the chord beneath it, where there is one,
 * rings all the time.
 */
export const lineInThirds: Way = {
  id: 'thirds',
  about: 'thirds or sixths as a legato line, alone or over a held chord',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(leftHand);
    for (let gesture = 0; gesture < 2; gesture += 1) {
      const isOver = random.chance(0.6);
      const wanted = stage.nextChord(leftHand);
      const block = isOver ? stage.block(wanted, stage.now, 0) : undefined;
      const at = isOver ? stage.now + beat * random.between(0.5, 1) : stage.now;
      const line = writeLine(stage, at, Math.max(60, topOf(wanted.notes) + 4));
      const to = Math.max(...line.map((stroke) => stroke.until));
      if (block !== undefined) {
        const end = to + random.between(20, 300) * milliseconds;
        for (const stroke of block.strokes)
          stroke.until = Math.round(end + random.between(0, 30_000));
        stage.expect('chord', block.firstAt, at, (heard) =>
          voicingFault(stage, heard.ringing(settled(block)), wanted),
        );
      }
      judgeLine(stage, line, block);
      stage.now = to + 400 * milliseconds + ceiling;
    }
  },
};
