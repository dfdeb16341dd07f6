/**
 * Orders of the instrument as Web Audio nodes: each layer of a voice is an oscillator and a gain; the
 * voices of a channel that stand at one place share what places them; one gain holds the whole.
 */

import { given } from '../../common/given.ts';
import { type Approach, gainAt } from '../../sound/level.ts';
import type { SoundOrder } from '../../sound/sound-order.ts';
import { handOverTime } from '../../sound/stretches.ts';
import type { Layer, Tone } from '../../sound/timbre.ts';
import { cutTime } from '../../sound/voices.ts';
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

/** Channels with their volume, and places in the room, before all of them together. */
function createMixer({ GainNode, StereoPannerNode }: AudioLibrary, context: Context) {
  const whole = new GainNode(context, { gain: 0 });
  const channels = new Map<number, GainNode>();
  const volumes = new Map<number, Approach>();
  const places = new Map<string, StereoPannerNode>();

  const channelNode = (channel: number): GainNode => {
    const known = channels.get(channel);
    if (known !== undefined) return known;
    const node = new GainNode(context);
    node.connect(whole);
    channels.set(channel, node);
    return node;
  };

  return {
    whole,
    placeNode(channel: number, pan: number): StereoPannerNode {
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
    },
    turnUp(channel: number, gain: number, at: number): void {
      const before = volumes.get(channel);
      // What holds from the beginning on has never been otherwise.
      const first = at <= 0 ? gain : 1;
      const start = before === undefined ? first : gainAt(before, at);
      const approach = { at, start, gain, within: volumeTime };
      volumes.set(channel, approach);
      move(channelNode(channel).gain, approach);
    },
  };
}

type Mixer = ReturnType<typeof createMixer>;

/** A wave from so far into its period; each from its beginning is made once. */
function createWaves({ PeriodicWave }: AudioLibrary, context: Context) {
  const waves = new Map<string, PeriodicWave>();
  return ({ name, partials }: Wave, phase: number): PeriodicWave => {
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
}

/** The voices that sound, from their beginning until they are gone. */
function createVoices(library: AudioLibrary, context: Context, mixer: Mixer) {
  const { GainNode, OscillatorNode } = library;
  const periodicWave = createWaves(library, context);
  const voices = new Map<number, Sounding>();

  const oscillatorOf = (wave: Wave, phase: number, frequency?: number): OscillatorNode => {
    const periodic = { type: 'custom', periodicWave: periodicWave(wave, phase) } as const;
    return new OscillatorNode(context, { ...periodic, ...given('frequency', frequency) });
  };

  /** Only here: the library takes no second word on when to stop. */
  const stop = (id: number, at: number): void => {
    for (const oscillator of voices.get(id)?.oscillators ?? []) oscillator.stop(at);
    voices.delete(id);
  };

  return {
    stop,
    begin({ id, at, tone, channel, frequency, phase }: Begin): void {
      const place = mixer.placeNode(channel, tone.pan);
      const rise = phase === undefined ? tone.attack : handOverTime;
      const oscillators: OscillatorNode[] = [];
      const gains: GainNode[] = [];
      for (const { wave, amplitude, decay } of tone.layers) {
        const oscillator = oscillatorOf(wave, phase ?? 0, frequency);
        const gain = new GainNode(context, { gain: 0 });
        gain.gain.setValueAtTime(0, at).linearRampToValueAtTime(amplitude, at + rise);
        if (decay !== undefined) gain.gain.setTargetAtTime(0, at + rise, decay);
        oscillator.connect(gain).connect(place);
        oscillator.start(at);
        oscillators.push(oscillator);
        gains.push(gain);
      }
      voices.set(id, { oscillators, gains, layers: tone.layers, risenAt: at + rise });
    },
    end({ id, at, release, isHandedOn }: End): void {
      const voice = voices.get(id);
      if (voice !== undefined) letFade(voice, at, release, isHandedOn === true);
    },
    cut(id: number, at: number): void {
      for (const { gain } of voices.get(id)?.gains ?? []) {
        gain.cancelScheduledValues(at).setTargetAtTime(0, at, cutTime / 5);
      }
      stop(id, at + cutTime);
    },
    turnPitch(id: number, to: number, at: number): void {
      for (const { frequency } of voices.get(id)?.oscillators ?? []) {
        frequency.setValueAtTime(to, at);
      }
    },
    /** Makes what the first voice of a tone would be waited for. */
    prepare(tone: Tone): void {
      for (const { wave } of tone.layers) {
        oscillatorOf(wave, 0).connect(new GainNode(context, { gain: 0 }));
      }
    },
  };
}

function letFade(
  { gains, layers, risenAt }: Sounding,
  at: number,
  release: number,
  isHandedOn: boolean,
): void {
  // Not in the middle of the rise: a ramp that is cut leaves the level where it never was.
  const from = Math.max(at, risenAt);
  gains.forEach(({ gain }, place) => {
    const level = levelOf(layers[place], from - risenAt);
    // Said though it follows: the library lets a target reach back to what is no target before it.
    gain.setValueAtTime(level, from);
    if (isHandedOn) gain.linearRampToValueAtTime(0, from + release);
    else gain.setTargetAtTime(0, from, release);
  });
}

export function createSoundGraph(
  library: AudioLibrary,
  context: Context,
  destination: AudioNode = context.destination,
): SoundGraph {
  const mixer = createMixer(library, context);
  mixer.whole.connect(destination);
  const voices = createVoices(library, context, mixer);

  const apply = (order: SoundOrder): void => {
    switch (order.type) {
      case 'begin':
        voices.begin(order);
        break;
      case 'end':
        voices.end(order);
        break;
      case 'cut':
        voices.cut(order.id, order.at);
        break;
      case 'gone':
        voices.stop(order.id, order.at);
        break;
      case 'pitch':
        voices.turnPitch(order.id, order.frequency, order.at);
        break;
      case 'channel':
        mixer.turnUp(order.channel, order.gain, order.at);
        break;
      default:
        move(mixer.whole.gain, order);
    }
  };

  return {
    prepare(tones) {
      for (const tone of tones) voices.prepare(tone);
    },
    apply(orders) {
      for (const order of orders) apply(order);
    },
  };
}

/** Where it begins is said though it follows; see `letFade`. */
function move(gain: AudioParam, { at, start, gain: target, within }: Approach): void {
  gain.setValueAtTime(start, at).setTargetAtTime(target, at, within);
}

/** @param time seconds since it was at its height. */
function levelOf(layer: Layer | undefined, time: number): number {
  if (layer === undefined) return 0;
  return layer.amplitude * (layer.decay === undefined ? 1 : Math.exp(-time / layer.decay));
}
