import { pick, scaleNotes, type Wanted } from '../chords.ts';
import type { Heard } from '../hearing.ts';
import {
  ceiling,
  firstOf,
  jointFault,
  keptFault,
  nameOf,
  onceFault,
  onlyFault,
  ringOnFault,
  voicingFault,
  without,
} from '../rules.ts';
import { type Block, bassOfSymbol, type Fault, type Stage, type Stroke } from '../stage.ts';
import { milliseconds, type Way } from './way.ts';

const rightHand = 62;
/** G1 to G2: a bass that leaves every preset room above it. */
const bassRange = [31, 43] as const;

function keep(stage: Stage, stroke: Stroke, early = 0): void {
  stage.keeps.push({
    stroke,
    judge: (heard) => keptFault(heard, stroke, { early, isShared: true }),
  });
}

/** Root first, then steps of the scale, leaps to chord tones, or a semitone's approach. */
function walkingNotes(stage: Stage, { root, tones }: Wanted, count: number): number[] {
  const { random } = stage;
  const [low, high] = bassRange;
  const scale = scaleNotes(stage.tonality, low, high);
  const inChord = (note: number) => tones.some((tone) => (root + tone) % 12 === note % 12);
  const roots = Array.from({ length: high - low + 1 }, (_, up) => low + up);
  const notes = [
    pick(
      random,
      roots.filter((note) => note % 12 === root),
    ),
  ];
  while (notes.length < count) {
    const last = notes.at(-1) ?? low;
    const near = scale.filter((note) => note !== last && Math.abs(note - last) <= 4);
    const leaps = scale.filter((note) => note !== last && inChord(note));
    const chromatic = [last - 1, last + 1].filter((note) => note >= low && note <= high);
    const kind = random.below(10);
    notes.push(pick(random, kind < 6 ? near : kind < 9 ? leaps : chromatic));
  }
  return notes;
}

/** Root, third, fifth, sixth, flat seventh and back: eighths of a boogie. */
function boogieNotes(stage: Stage, { root, tones }: Wanted, count: number): number[] {
  const third = tones[1] ?? 4;
  const seventh = tones[3] ?? 10;
  const figure = [0, third, 7, 9, seventh, 9, 7, third];
  const lowest = bassRange[0] - 2;
  const bottom = lowest + ((root - lowest + 120) % 12);
  const starts = stage.random.chance(0.5) ? figure : [0, 7, 9, 7];
  return Array.from({ length: count }, (_, place) => bottom + (starts[place % starts.length] ?? 0));
}

/** While a bass key is down nothing sounds below it, and no bass but it. */
function bassFault(heard: Heard, at: number, upper: readonly number[], bass: Stroke): Fault {
  const others = without(heard.ringing(at), [...upper, bass.note]);
  return others.length === 0
    ? undefined
    : `${nameOf(others[0] ?? 0)} sounds beside the bass ${nameOf(bass.note)}`;
}

function nameFault(heard: Heard, at: number, bass: Stroke): Fault {
  const symbol = heard.shownAt(at)?.heard.symbol ?? '';
  return bassOfSymbol(symbol) === bass.note % 12
    ? undefined
    : `the stage says ${symbol || 'nothing'} over ${nameOf(bass.note)}`;
}

type Walk = { readonly block: Block; readonly wanted: Wanted; readonly bass: readonly Stroke[] };

function judgeWalk(stage: Stage, { block, wanted, bass }: Walk): void {
  const [first] = bass;
  if (first === undefined) return;
  const isStruckWith = first.at < block.lastAt + ceiling;
  const from = Math.max(block.lastAt, isStruckWith ? first.at : 0) + ceiling;
  const to = block.firstUp() - 1;
  stage.expect('bass under a held chord', block.firstAt, to, (heard) => {
    const whole = heard.ringing(from);
    // Struck first, the chord has a bass of its own until another hand's comes.
    const own = stage.preset.bass.policy === 'none' || isStruckWith ? [] : whole.slice(0, 1);
    const given = isStruckWith ? [first.note] : [];
    const upper = without(whole, [...own, ...given]);
    return firstOf(
      () =>
        voicingFault(stage, without(whole, given), wanted, {
          bass: isStruckWith ? first.note : 'own',
        }),
      () =>
        bass
          .map((stroke) => keptFault(heard, stroke, { isShared: true }))
          .find((fault) => fault !== undefined),
      () => onlyFault(heard, from + 1, to, bass),
      () => ringOnFault(heard, upper, from, to),
      () =>
        bass
          .map((stroke) =>
            bassFault(heard, Math.min(stroke.at + ceiling, stroke.until - 1), upper, stroke),
          )
          .find((fault) => fault !== undefined),
      () =>
        bass
          .map((stroke, place) => {
            const next = bass[place + 1]?.at ?? stroke.until;
            return nameFault(heard, Math.min(stroke.until, next) - 1, stroke);
          })
          .find((fault) => fault !== undefined),
    );
  });
  for (const stroke of bass) keep(stage, stroke);
}

/**
 * Each bass note sounds as it is played; the right hand's voices ring on untouched; the chord's own
 * bass is silent while a bass key is down, so that nothing lies below the key or between; and the
 * name on the stage has the bass that is down.
 */
export const walkingBass: Way = {
  id: 'walking-bass',
  about: 'a walking or boogie bass under a held chord',
  play(stage) {
    const { random, beat } = stage;
    stage.warmUp(rightHand);
    for (let gesture = 0; gesture < 2; gesture += 1) {
      const wanted = stage.nextChord(rightHand);
      const isBoogie = random.chance(0.4);
      const step = isBoogie
        ? random.between(150, 250) * milliseconds
        : Math.min(beat, 650 * milliseconds);
      const count = isBoogie ? 8 : 4 + random.below(4);
      const notes = (isBoogie ? boogieNotes : walkingNotes)(stage, wanted, count);
      const isWith = random.chance(0.5);
      const start = stage.now + (isWith ? random.between(-8, 6) * milliseconds : beat);
      const tie = random.between(-0.25, 0.04);
      const bass = notes.map((note, place) => {
        const at = Math.max(stage.now, start) + place * step + random.between(0, 6) * milliseconds;
        return stage.strike(note, at, at + step * (1 + tie), { louder: random.between(-4, 12) });
      });
      const end = (bass.at(-1)?.until ?? start) + random.between(20, 80) * milliseconds;
      const block = stage.block(wanted, stage.now, end - stage.now + 60 * milliseconds);
      judgeWalk(stage, { block, wanted, bass });
      stage.now = block.lastUp() + beat * random.between(0.5, 1);
    }
  },
};

/** The bass on this beat: down or up the scale from the root, or the same all along. */
function bassLine(stage: Stage, first: Wanted, count: number, isPedal: boolean): number[] {
  // Far enough below the right hand to be nobody's but the left one's.
  const scale = scaleNotes(stage.tonality, 34, 50);
  const starts = scale.filter((note) => note % 12 === first.root && note >= 39);
  const start = scale.indexOf(starts.length > 0 ? pick(stage.random, starts) : 48);
  const direction = isPedal ? 0 : start > scale.length - count || stage.random.chance(0.5) ? -1 : 1;
  const place = start;
  return Array.from({ length: count }, (_, beat) => {
    const at = Math.max(0, Math.min(scale.length - 1, place + direction * beat));
    return scale[at] ?? 48;
  });
}

function judgeBeat(stage: Stage, block: Block, wanted: Wanted, bass: Stroke): void {
  const from = Math.min(block.firstAt, Math.max(bass.at, block.firstAt - ceiling));
  const at = Math.min(Math.max(block.lastAt, bass.at) + ceiling, block.firstUp() - 1);
  stage.expect('bass of the beat', from, at, (heard) => {
    const ringing = heard.ringing(at);
    const voicing = without(ringing, [bass.note]);
    const surroundings = { bass: bass.note } as const;
    const together = [bass.note, ...wanted.notes];
    const own = voicingFault(stage, voicing, wanted, surroundings);
    return firstOf(
      () =>
        ringing.includes(bass.note) ? undefined : `the bass ${nameOf(bass.note)} does not sound`,
      () => own && jointFault(stage, voicing, together, wanted.reference, surroundings) && own,
      () => onceFault(withoutOwnBass(heard, bass), from, at),
    );
  });
}

/** The chord's own bass may sound until the played one, struck a little later, takes its place. */
function withoutOwnBass(heard: Heard, bass: Stroke): Heard {
  const strikes = (from: number, to: number) =>
    heard.strikes(from, to).filter((span) => {
      const gaveWay = span.to >= bass.at && span.to <= bass.at + ceiling;
      const isLowest = heard.ringing(span.from)[0] === span.note;
      return !(gaveWay && isLowest && span.note !== bass.note);
    });
  return { ...heard, strikes };
}

/** Four beats: a triad on each and its bass, struck with it, or held under all of them. */
function playBar(stage: Stage): void {
  const { random, beat } = stage;
  const isPedal = random.chance(0.4);
  const isHeld = isPedal && random.chance(0.5);
  const count = 4;
  let wanted = stage.nextChord(rightHand, 'triad');
  const notes = bassLine(stage, wanted, count, isPedal);
  const start = stage.now;
  const length = random.between(0.6, 0.9);
  const held = isHeld
    ? stage.strike(notes[0] ?? 48, start, start + count * beat - 60 * milliseconds)
    : undefined;
  if (held !== undefined) keep(stage, held);
  for (let place = 0; place < count; place += 1) {
    const at = start + place * beat;
    if (isPedal && place > 0) wanted = stage.nextChord(rightHand, 'triad');
    const block = stage.block(wanted, at, beat * length);
    const note = notes[place] ?? 48;
    const bass = held ?? stage.strike(note, at + random.between(0, 10_000), at + beat * length);
    if (held === undefined) keep(stage, bass, 60 * milliseconds);
    judgeBeat(stage, block, wanted, bass);
  }
  stage.now = start + count * beat + beat * random.between(0.3, 1);
}

/**
 * The bass that is played is the lowest that sounds, at its own pitch, and above it the triad's
 * voicing (or that of triad and bass read together), each note struck once; a bass that is held
 * sounds through.
 */
export const stepwiseBass: Way = {
  id: 'stepwise-bass',
  about: 'a bass that goes by step, or stays, under repeated triads',
  play(stage) {
    stage.warmUp(rightHand);
    playBar(stage);
    playBar(stage);
  },
};

/** How much later or sooner than the chord the bass may answer; 10 ms of delay are rated like none. */
const equal = 10 * milliseconds;

function judgeBar(stage: Stage, bass: Stroke, block: Block, wanted: Wanted, isLearned: boolean) {
  const at = Math.min(block.lastAt + ceiling, block.firstUp() - 1);
  const hasBass = stage.preset.bass.policy !== 'none';
  stage.expect('bar', bass.at, at, (heard) => {
    const struck = heard.strikes(block.firstAt, at);
    const chordAt = Math.max(...struck.map((span) => span.from)) - block.lastAt;
    const bassSpan = heard
      .strikes(bass.at, bass.at + ceiling)
      .find((span) => span.note === bass.note);
    const bassAt = (bassSpan?.from ?? bass.at) - bass.at;
    const isDown = heard.ringing(block.firstAt - 1).includes(bass.note);
    const ringing = heard.ringing(at);
    // Over a bass of its own the clean block may have had a voice fewer.
    const most = Math.max(
      wanted.reference.notes.length + (hasBass ? 0 : 1),
      stage.preset.voices + 1,
    );
    return firstOf(
      () => keptFault(heard, bass, { mayGoOn: true }),
      () =>
        isLearned && Math.abs(bassAt - chordAt) > equal
          ? `the bass waits ${Math.round(bassAt / 1000)} ms, the chord ${Math.round(chordAt / 1000)} ms`
          : undefined,
      () =>
        voicingFault(stage, without(ringing, isDown ? [bass.note] : []), wanted, {
          bass: isDown ? bass.note : 'any',
        }),
      () =>
        isDown && ringing.length > most
          ? `a bass of its own beside ${nameOf(bass.note)}: ${ringing.map(nameOf).join(' ')}`
          : undefined,
      () => onceFault(heard, block.firstAt, at),
    );
  });
}

/**
 * Bass and chord answer their keys equally soon, within 10 ms (a constant delay of 10 ms is rated like
 * none: Jack, Mehrabi, Stockman, McPherson, 2018); while the bass is held, by its key or the pedal,
 * it is the bass and the voicing brings none of its own; each note is struck once.
 */
export const stride: Way = {
  id: 'stride',
  about: 'stride: a lone bass, and its chord a beat later',
  play(stage) {
    const { random } = stage;
    const beat = Math.max(330 * milliseconds, Math.min(stage.beat, 700 * milliseconds));
    stage.warmUp(rightHand - 4);
    const isPedalled = random.chance(0.25);
    const bassLength = isPedalled ? 0.7 : random.chance(0.75) ? 1.7 : 0.8;
    for (let bar = 0; bar < 6; bar += 1) {
      const wanted = stage.nextChord(rightHand - 4);
      const [low, high] = bassRange;
      const root = low + ((wanted.root - low + 120) % 12);
      const note = Math.min(high, random.chance(0.75) ? root : root + 7 > high ? root : root + 7);
      const bass = stage.strike(note, stage.now, stage.now + beat * bassLength, {
        louder: random.between(0, 10),
      });
      const block = stage.block(wanted, stage.now + beat, beat * random.between(0.45, 0.65));
      if (isPedalled) {
        stage.pedal(0, stage.now + 15 * milliseconds);
        stage.pedal(127, stage.now + 70 * milliseconds);
      }
      judgeBar(stage, bass, block, wanted, bar > 1);
      stage.keeps.push({ stroke: bass, judge: (heard) => keptFault(heard, bass) });
      stage.now += 2 * beat;
    }
    if (isPedalled) stage.pedal(0, stage.now);
  },
};
