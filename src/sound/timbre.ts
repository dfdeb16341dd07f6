/**
 * What one note sounds like. Two timbres for the ear at the desk: one that is struck and dies away,
 * one that is held and swells; and short ticks for a click and the drums of a file. Each is a dark
 * layer and a bright one, whose share grows with the velocity, and which dies away first when struck.
 * Times are seconds, levels are amplitudes (1 is full scale). The values are our own, by ear.
 */
import { frequencyOf } from './pitch.ts';
import { type Spectrum, type Wave, waveOf } from './wave.ts';

export const timbreNames = ['struck', 'sustained'] as const;
export type TimbreName = (typeof timbreNames)[number];

export type Layer = {
  readonly wave: Wave;
  /** The most it reaches. */
  readonly amplitude: number;
  /** Time in which a struck layer falls to 1/e; undefined: it keeps its level. */
  readonly decay: number | undefined;
};

export type Tone = {
  /** Hertz, without a bend. */
  readonly frequency: number;
  readonly layers: readonly Layer[];
  /** The level rises in a straight line. */
  readonly attack: number;
  /** After the key came up it falls to 1/e in this time. */
  readonly release: number;
  /** A tone that dies away by itself is over then; else undefined. */
  readonly longest: number | undefined;
  /** From -1 (left) to 1 (right). */
  readonly pan: number;
};

type Timbre = {
  readonly dark: Spectrum;
  readonly bright: Spectrum;
  readonly attack: number;
  readonly release: number;
  readonly isStruck: boolean;
};

const timbres: { readonly [name in TimbreName]: Timbre } = {
  struck: {
    dark: { name: 'struck dark', first: 1, most: 6, slope: 9 },
    bright: { name: 'struck bright', first: 2, most: 20, slope: 6 },
    attack: 0.004,
    release: 0.07,
    isStruck: true,
  },
  sustained: {
    dark: { name: 'sustained dark', first: 1, most: 5, slope: 13 },
    bright: { name: 'sustained bright', first: 2, most: 12, slope: 8 },
    attack: 0.06,
    release: 0.14,
    isStruck: false,
  },
};

/** Of one note at velocity 127. */
const loudest = 0.25;
/** Of that, the bright layer has so much at the most. */
const brightShare = 0.4;

/** Times of release or decay until less than an eight-thousandth is left, which nobody hears end. */
export const timesUntilOver = 9;

/**
 * Attenuation by velocity is 20 log10(127²/v²) dB: DLS Level 1 (MMA, RP-016), "MIDI Velocity to
 * Attenuation"; brightness by velocity is ours.
 */
export function strengthOf(velocity: number): number {
  return (velocity / 127) ** 2;
}

/** @param note MIDI note number. @param velocity 1 to 127. */
export function toneOf(name: TimbreName, note: number, velocity: number): Tone {
  const { dark, bright, attack, release, isStruck } = timbres[name];
  const frequency = frequencyOf(note);
  const share = brightShare * (velocity / 127);
  const strength = loudest * strengthOf(velocity);
  const decay = isStruck ? decayOf(note) : undefined;
  const layers = [
    ...layer(waveOf(dark, frequency), strength * (1 - share), decay),
    ...layer(waveOf(bright, frequency), strength * share, decay && decay / 3),
  ];
  const longest = decay && decay * timesUntilOver;
  return { frequency, layers, attack, release, longest, pan: panOf(note) };
}

function layer(wave: Wave | undefined, amplitude: number, decay: number | undefined) {
  return wave === undefined ? [] : [{ wave, amplitude, decay }];
}

/** Seconds. */
export const longestDecay = 3.2;

/** As strings do, the low ones ring longest: twice as long for two octaves. */
function decayOf(note: number): number {
  return Math.min(longestDecay, Math.max(0.5, 2.2 * 2 ** ((60 - note) / 24)));
}

/** As the player sees the keyboard, and little of it. */
function panOf(note: number): number {
  // In steps, so that notes can share what places them.
  const steps = Math.round((note - 64) / 9);
  return Math.min(3, Math.max(-3, steps)) * 0.09;
}

const lowDrums = new Set([35, 36, 41, 43, 45, 47]);
const tick: Spectrum = { name: 'tick', first: 1, most: 1, slope: 0 };
/** High and low wood block, General MIDI Level 1 percussion key map. */
export const clickNotes = { accent: 76, plain: 77 } as const;
const clickFrequencies: ReadonlyMap<number, number> = new Map([
  [clickNotes.accent, 1_600],
  [clickNotes.plain, 1_200],
]);

/** @param note a key of the General MIDI percussion map; most of them are one and the same tick. */
export function tickOf(note: number, velocity: number): Tone {
  const isLow = lowDrums.has(note);
  const frequency = clickFrequencies.get(note) ?? (isLow ? 75 : 2_000);
  const isClick = clickFrequencies.has(note);
  const decay = isLow ? 0.06 : 0.02;
  const amplitude = loudest * strengthOf(velocity) * (isClick ? 1 : isLow ? 0.8 : 0.3);
  return {
    frequency,
    layers: layer(waveOf(tick, frequency), amplitude, decay),
    attack: 0.001,
    release: decay,
    longest: decay * timesUntilOver,
    pan: 0,
  };
}

/**
 * Which of the two stands for a sound of a file. Source: General MIDI Level 1 sound set, groups:
 * pianos, chromatic percussion, guitars, basses and what is plucked or struck die away by themselves.
 * @param program 0 to 127.
 */
export function timbreOfProgram(program: number): TimbreName {
  const isOrgan = program >= 16 && program < 24;
  const isBowedOrBlown = program >= 40 && program < 104 && ![45, 46, 47, 55].includes(program);
  return isOrgan || isBowedOrBlown ? 'sustained' : 'struck';
}
