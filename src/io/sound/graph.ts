/**
 * Orders of the instrument as Web Audio nodes: each layer of a voice is an oscillator and a gain; the
 * voices of a channel that stand at one place share what places them; one gain holds the whole.
 */

import { cutTime, type SoundOrder } from '../../sound/instrument.ts';
import { type Approach, gainAt } from '../../sound/level.ts';
import { handOverTime } from '../../sound/stretches.ts';
import type { Layer, Tone } from '../../sound/timbre.ts';
import type { Wave } from '../../sound/wave.ts';
import type { AudioLibrary } from './library.ts';

export type SoundGraph = {
  /** Times of orders are those of the context's clock, in the order of time for each voice. */
  readonly apply: (orders: readonly SoundOrder[]) => void;
  /** Makes what such tones need and what is made once: the first chord comes as soon as the others. */
  readonly prepare: (tones: readonly Tone[]) => void;
};

type Begin = Extract<SoundOrder, { readonly type: 'begin' }>;
type End = Extract<SoundOrder, { readonly type: 'end' }>;
type Context = BaseAudioContext;
type Sounding = {
  readonly oscillators: readonly OscillatorNode[];
  readonly gains: readonly GainNode[];
  readonly layers: readonly Layer[];
  /** Its gain has reached its height by then. */
  readonly risenAt: number;
};

/** Seconds in which a channel's volume goes most of the way. */
const volumeTime = 0.01;

export function createSoundGraph(
  library: AudioLibrary,
  context: Context,
  destination: AudioNode = context.destination,
): SoundGraph {
  const { GainNode, OscillatorNode, PeriodicWave, StereoPannerNode } = library;
  const whole = new GainNode(context, { gain: 0 });
  whole.connect(destination);
  const channels = new Map<number, GainNode>();
  const volumes = new Map<number, Approach>();
  const places = new Map<string, StereoPannerNode>();
  const waves = new Map<string, PeriodicWave>();
  const voices = new Map<number, Sounding>();

  const channelNode = (channel: number): GainNode => {
    const known = channels.get(channel);
    if (known !== undefined) return known;
    const node = new GainNode(context);
    node.connect(whole);
    channels.set(channel, node);
    return node;
  };
  const placeNode = (channel: number, pan: number): StereoPannerNode => {
    const name = `${channel} ${pan}`;
    const known = places.get(name);
    if (known !== undefined) return known;
    const node = new StereoPannerNode(context, {
      pan,
      channelCount: 1,
      channelCountMode: 'explicit',
    });
    node.connect(channelNode(channel));
    places.set(name, node);
    return node;
  };
  const turnUp = (channel: number, gain: number, at: number): void => {
    const before = volumes.get(channel);
    // What holds from the beginning on has never been otherwise.
    const first = at <= 0 ? gain : 1;
    const start = before === undefined ? first : gainAt(before, at);
    const approach = { at, start, gain, within: volumeTime };
    volumes.set(channel, approach);
    move(channelNode(channel).gain, approach);
  };
  const periodicWave = ({ name, partials }: Wave, phase: number): PeriodicWave => {
    const known = phase === 0 ? waves.get(name) : undefined;
    if (known !== undefined) return known;
    const real = new Float32Array(partials.length + 1);
    const imag = new Float32Array(partials.length + 1);
    partials.forEach((amplitude, place) => {
      const turned = 2 * Math.PI * (place + 1) * phase;
      real[place + 1] = amplitude * Math.sin(turned);
      imag[place + 1] = amplitude * Math.cos(turned);
    });
    const wave = new PeriodicWave(context, { real, imag, disableNormalization: true });
    if (phase === 0) waves.set(name, wave);
    return wave;
  };

  const begin = ({ id, at, tone, channel, frequency, phase }: Begin): void => {
    const place = placeNode(channel, tone.pan);
    const rise = phase === undefined ? tone.attack : handOverTime;
    const oscillators: OscillatorNode[] = [];
    const gains: GainNode[] = [];
    for (const { wave, amplitude, decay } of tone.layers) {
      const oscillator = new OscillatorNode(context, {
        type: 'custom',
        periodicWave: periodicWave(wave, phase ?? 0),
        frequency,
      });
      const gain = new GainNode(context, { gain: 0 });
      gain.gain.setValueAtTime(0, at).linearRampToValueAtTime(amplitude, at + rise);
      if (decay !== undefined) gain.gain.setTargetAtTime(0, at + rise, decay);
      oscillator.connect(gain).connect(place);
      oscillator.start(at);
      oscillators.push(oscillator);
      gains.push(gain);
    }
    voices.set(id, { oscillators, gains, layers: tone.layers, risenAt: at + rise });
  };

  const end = ({ id, at, release, isHandedOn }: End): void => {
    const voice = voices.get(id);
    if (voice === undefined) return;
    const { gains, layers, risenAt } = voice;
    // Not in the middle of the rise: a ramp that is cut leaves the level where it never was.
    const from = Math.max(at, risenAt);
    gains.forEach(({ gain }, place) => {
      const level = levelOf(layers[place], from - risenAt);
      // Said though it follows: the library lets a target reach back to what is no target before it.
      gain.setValueAtTime(level, from);
      if (isHandedOn === true) gain.linearRampToValueAtTime(0, from + release);
      else gain.setTargetAtTime(0, from, release);
    });
  };
  /** Only here: the library takes no second word on when to stop. */
  const stop = (id: number, at: number): void => {
    for (const oscillator of voices.get(id)?.oscillators ?? []) oscillator.stop(at);
    voices.delete(id);
  };
  const cut = (id: number, at: number): void => {
    for (const { gain } of voices.get(id)?.gains ?? []) {
      gain.cancelScheduledValues(at).setTargetAtTime(0, at, cutTime / 5);
    }
    stop(id, at + cutTime);
  };

  const apply = (order: SoundOrder): void => {
    switch (order.type) {
      case 'begin':
        begin(order);
        break;
      case 'end':
        end(order);
        break;
      case 'cut':
        cut(order.id, order.at);
        break;
      case 'gone':
        stop(order.id, order.at);
        break;
      case 'pitch':
        for (const { frequency } of voices.get(order.id)?.oscillators ?? []) {
          frequency.setValueAtTime(order.frequency, order.at);
        }
        break;
      case 'channel':
        turnUp(order.channel, order.gain, order.at);
        break;
      default:
        move(whole.gain, order);
    }
  };

  return {
    prepare(tones) {
      for (const { wave } of tones.flatMap(({ layers }) => layers)) {
        const oscillator = new OscillatorNode(context, {
          type: 'custom',
          periodicWave: periodicWave(wave, 0),
        });
        oscillator.connect(new GainNode(context, { gain: 0 }));
      }
    },
    apply(orders) {
      for (const order of orders) apply(order);
    },
  };
}

/** Where it begins is said though it follows; see `end`. */
function move(gain: AudioParam, { at, start, gain: target, within }: Approach): void {
  gain.setValueAtTime(start, at).setTargetAtTime(target, at, within);
}

/** @param time seconds since it was at its height. */
function levelOf(layer: Layer | undefined, time: number): number {
  if (layer === undefined) return 0;
  return layer.amplitude * (layer.decay === undefined ? 1 : Math.exp(-time / layer.decay));
}
