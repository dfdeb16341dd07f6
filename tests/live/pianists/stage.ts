/**
 * One trial in the making: a player with traits drawn at random, a preset, a key or none, and a pen
 * that writes key strokes. Ways of playing write on it, and say what is to be heard of it.
 */
import { formatKey, type Key } from '../../../src/harmony/key/key.ts';
import type { Preset } from '../../../src/presets/preset.ts';
import {
  cleanBlock,
  diatonicChord,
  keyOf,
  type Meant,
  pick,
  type Size,
  type Tonality,
  type Wanted,
} from './chords.ts';
import type { Heard } from './hearing.ts';
import type { Random } from './random.ts';

export type Stroke = {
  readonly at: number;
  until: number;
  readonly note: number;
  readonly velocity: number;
  /** 0–15. */
  readonly channel: number;
  /** Which keyboard. */
  readonly source: number;
};

export type PedalMove = { readonly at: number; readonly value: number; readonly channel: number };

export type Block = {
  readonly meant: Meant | Wanted;
  readonly strokes: readonly Stroke[];
  readonly firstAt: number;
  readonly lastAt: number;
  /** When its first and last key come up; may be moved while the trial is written. */
  readonly firstUp: () => number;
  readonly lastUp: () => number;
};

/** A finger of a held chord that goes on to other keys. */
export type MovingFinger = {
  readonly block: Block;
  readonly from: Stroke;
  readonly moving: readonly Stroke[];
};

/** A sentence that says what is wrong, or nothing. */
export type Fault = string | undefined;

export type Check = {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly judge: (heard: Heard) => Fault;
};

export type Keep = { readonly stroke: Stroke; readonly judge: (heard: Heard) => Fault };

/** Channel, keyboard, and how loud beside the player's own level. */
export type Touch = {
  readonly channel?: number;
  readonly source?: number;
  readonly louder?: number;
  /** In place of the player's own level. */
  readonly velocity?: number;
};

const milliseconds = 1000;

/** First to last key of a chord, in milliseconds; each player has one of these pairs of bounds. */
const spreads = [
  [0, 8],
  [2, 14],
  [3, 20],
  [4, 28],
] as const;

export type Stage = {
  readonly random: Random;
  readonly preset: Preset;
  readonly tonality: Tonality;
  /** What the engine is told; absent: no key. */
  readonly key: Key | undefined;
  /** Microseconds. */
  readonly beat: number;
  /** Where the pen stands. */
  now: number;
  readonly strokes: Stroke[];
  readonly pedals: PedalMove[];
  readonly blocks: Block[];
  readonly fingers: MovingFinger[];
  readonly checks: Check[];
  readonly keeps: Keep[];
  /** The widest chord so far, first key to last. */
  widest: number;
  /** Another chord of the key than the last, which the engine reads so when it is struck alone. */
  readonly nextChord: (around: number, size?: Size, isWanted?: (meant: Meant) => boolean) => Wanted;
  /** The chord with what the engine sends for it alone; it becomes the last one meant. */
  readonly want: (meant: Meant) => Wanted;
  readonly strike: (note: number, at: number, until: number, touch?: Touch) => Stroke;
  readonly block: (meant: Meant, at: number, length: number, touch?: Touch) => Block;
  /** The chord these keys are meant as. */
  readonly asBlock: (meant: Meant, strokes: readonly Stroke[]) => Block;
  readonly pedal: (value: number, at: number, channel?: number) => void;
  readonly expect: (name: string, from: number, to: number, judge: Check['judge']) => void;
  /** Chords in blocks, one a beat, for the engine to learn the player by. */
  readonly warmUp: (around: number, chords?: number) => void;
};

function rootOfSymbol(symbol: string): number | undefined {
  const match = /^([A-G])([b#]*)/.exec(symbol);
  if (match === null) return undefined;
  const natural = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }[match[1] ?? 'C'] ?? 0;
  const signs = [...(match[2] ?? '')].reduce((sum, sign) => sum + (sign === '#' ? 1 : -1), 0);
  return (natural + signs + 24) % 12;
}

/** The bass a symbol names: behind the slash, else its root. */
export function bassOfSymbol(symbol: string): number | undefined {
  const [, bass] = /\/([A-G][b#]*)$/.exec(symbol) ?? [];
  return rootOfSymbol(bass ?? symbol);
}

export { rootOfSymbol };

/** What a way of playing needs of the key. */
export type KeyNeeded = 'any' | 'major';

export function createStage(random: Random, preset: Preset, keyNeeded: KeyNeeded = 'any'): Stage {
  const isMajor = random.chance(0.65) || keyNeeded === 'major';
  const tonality = { tonic: random.below(12), mode: isMajor ? 'major' : 'minor' } as const;
  const isTold = random.chance(0.5) || keyNeeded !== 'any';
  const key = isTold ? keyOf(tonality) : undefined;
  const keyName = key === undefined ? undefined : formatKey(key);
  const beat = Math.round(60_000_000 / random.between(66, 144));
  const [low, high] = pick(random, spreads);
  const level = 56 + random.below(30);
  const size: Size = random.chance(0.6) ? 'triad' : 'seventh';
  let before: Meant | undefined;

  const wanted = (meant: Meant): Wanted => ({
    ...meant,
    reference: cleanBlock(preset, keyName, before?.notes, meant.notes),
  });

  const stage: Stage = {
    random,
    preset,
    tonality,
    key,
    beat,
    now: 1_000_000,
    strokes: [],
    pedals: [],
    blocks: [],
    fingers: [],
    checks: [],
    keeps: [],
    widest: 0,
    nextChord(around, keys = size, isWanted = () => true) {
      for (let attempt = 0; attempt < 400; attempt += 1) {
        const meant = diatonicChord(random, tonality, keys, around);
        if (meant.root === before?.root || !isWanted(meant)) continue;
        const chord = wanted(meant);
        if (rootOfSymbol(chord.reference.symbol) !== meant.root) continue;
        before = meant;
        return chord;
      }
      throw new Error('no chord found that is read as it is meant');
    },
    want(meant) {
      const chord = wanted(meant);
      before = meant;
      return chord;
    },
    strike(note, at, until, { channel = 0, source = 0, louder = 0, velocity: own } = {}) {
      const force = own ?? level + louder + random.between(-6, 6);
      const velocity = Math.max(4, Math.min(124, Math.round(force)));
      const stroke = {
        at: Math.round(at),
        until: Math.round(until),
        note,
        velocity,
        channel,
        source,
      };
      stage.strokes.push(stroke);
      return stroke;
    },
    block(meant, at, length, touch) {
      const { notes } = meant;
      const spread = random.between(low, high) * milliseconds;
      const inner = Array.from({ length: notes.length - 2 }, () => random.between(0, spread));
      const onsets = random.shuffle([0, spread, ...inner]);
      const releases = random.between(5, 60) * milliseconds;
      const strokes = notes.map((note, place) => {
        const until = at + length + random.between(-0.5, 0.5) * releases;
        return stage.strike(note, at + (onsets[place] ?? 0), until, touch);
      });
      const block = stage.asBlock(meant, strokes);
      stage.widest = Math.max(stage.widest, block.lastAt - block.firstAt);
      return block;
    },
    asBlock(meant, strokes) {
      const ons = strokes.map((stroke) => stroke.at);
      const ups = (): number[] => strokes.map((stroke) => stroke.until);
      const block = {
        meant,
        strokes,
        firstAt: Math.min(...ons),
        lastAt: Math.max(...ons),
        firstUp: () => Math.min(...ups()),
        lastUp: () => Math.max(...ups()),
      };
      stage.blocks.push(block);
      return block;
    },
    pedal(value, at, channel = 0) {
      stage.pedals.push({ at: Math.round(at), value, channel });
    },
    expect(name, from, to, judge) {
      stage.checks.push({ name, from, to, judge });
    },
    warmUp(around, chords = 5 + random.below(4)) {
      for (let chord = 0; chord < chords; chord += 1) {
        stage.block(stage.nextChord(around), stage.now, beat * random.between(0.55, 0.85));
        stage.now += beat;
      }
      stage.now += beat * random.between(0.5, 1);
    },
  };
  return stage;
}
