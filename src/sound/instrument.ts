/**
 * The instrument as a state machine: MIDI messages and times in, orders to a sounding graph out. It
 * knows which voices sound and how loud they still are, so that the sum has a limit and a voice too
 * many takes the place of the softest. The same machine plays live and into files.
 * Times are seconds on any clock that only goes forward; times of messages likewise.
 */
import type { ChannelMessage, Message } from '../midi/message.ts';
import { controllers, percussionChannel, switchDown } from '../midi/specification.ts';
import { bendOf, bent, type Channel, gainOf, newChannel, turn } from './channel.ts';
import { type Approach, amplitudeOf, gainAt, gainUnder, levelAfter, sidesOf } from './level.ts';
import {
  type TimbreName,
  type Tone,
  tickOf,
  timbreOfProgram,
  timesUntilOver,
  toneOf,
} from './timbre.ts';

export type SoundOrder =
  | {
      readonly type: 'begin';
      readonly id: number;
      readonly at: number;
      readonly tone: Tone;
      readonly channel: number;
      /** Hertz, with the bend of its channel. */
      readonly frequency: number;
      /** It goes on from another voice: where in its period, in cycles. It fades in as that fades out. */
      readonly phase?: number;
    }
  /** `release`: it falls to 1/e in this time, in seconds; with `isHandedOn` in a straight line to nothing. */
  | {
      readonly type: 'end';
      readonly id: number;
      readonly at: number;
      readonly release: number;
      readonly isHandedOn?: boolean;
    }
  /** One that was let go makes room: what is left of it fades at once. */
  | { readonly type: 'cut'; readonly id: number; readonly at: number }
  /** It has died away, though its key may still be down: nothing of it need be reckoned any more. */
  | { readonly type: 'gone'; readonly id: number; readonly at: number }
  | {
      readonly type: 'pitch';
      readonly id: number;
      readonly at: number;
      readonly frequency: number;
    }
  | {
      readonly type: 'channel';
      readonly channel: number;
      readonly at: number;
      readonly gain: number;
    }
  | MixOrder;

/** The gain of all together. */
export type MixOrder = Approach & { readonly type: 'mix' };

export type InstrumentOptions = {
  readonly timbre: TimbreName;
  /** Decibels; see level.ts. */
  readonly level: number;
  /** A file: its programs choose the timbre, and channel 10 is drums. */
  readonly isFile: boolean;
};

export type Instrument = {
  /** All messages of one moment; those that mean nothing to it are passed over. */
  readonly receive: (messages: readonly Message[], at: number) => readonly SoundOrder[];
  /** Decibels. */
  readonly setLevel: (decibels: number, at: number) => readonly SoundOrder[];
  /** Every voice ends and every pedal is up: as if let go, or in no time. */
  readonly silence: (at: number, how: 'let go' | 'at once') => readonly SoundOrder[];
  /** When the last voice that sounds is over, if nothing more comes; undefined while one is held. */
  readonly overAt: () => number | undefined;
};

type Voice = {
  readonly id: number;
  readonly channel: number;
  readonly note: number;
  readonly tone: Tone;
  readonly at: number;
  isKeyDown: boolean;
  isOwn: boolean;
  endedAt: number | undefined;
  release: number;
};

/** Held; and of those that were let go and still ring. Where the clock of the sound lags because the
 * machine has no time for it, voices would end later than others begin, and each makes it lag more. */
export const mostVoices = 64;
export const mostReleased = 64;
/** Seconds: short, and without a crack. */
const quick = 0.008;
/** Seconds in which one that is cut is over. */
export const cutTime = 0.02;
/** Down before the new voice is up; back without a swell. */
const gainTimes = { down: 0.0008, up: 0.12 };
/** Pedals, resetting, and all notes off with what implies it: keys that are up may end now. */
function isReleasing(controller: number): boolean {
  const { sustain, sostenuto, resetAll, allNotesOff } = controllers;
  return (
    [sustain, sostenuto, resetAll].some((each) => each === controller) || controller >= allNotesOff
  );
}

/** Volume, expression, resetting. */
const sizing: ReadonlySet<number> = new Set([
  controllers.volume,
  controllers.expression,
  controllers.resetAll,
]);

export function createInstrument({ timbre, level, isFile }: InstrumentOptions): Instrument {
  let voices: Voice[] = [];
  let wished = amplitudeOf(level);
  let mix: MixOrder | undefined;
  let nextId = 0;
  const channels = Array.from({ length: 16 }, () => newChannel(timbre));

  const channelOf = (number: number): Channel => channels[number] ?? newChannel(timbre);

  function* end(voice: Voice, at: number, fade = voice.tone.release): Generator<SoundOrder> {
    if (voice.endedAt !== undefined) return;
    voice.endedAt = at;
    voice.release = fade;
    yield { type: 'end', id: voice.id, at, release: fade };
  }

  /** So many at most ring on: the softest are cut. */
  function* makeRoom(at: number): Generator<SoundOrder> {
    const ringing = voices.filter(({ endedAt }) => endedAt !== undefined);
    const tooMany = ringing.length - mostReleased;
    if (tooMany <= 0) return;
    ringing.sort((one, other) => levelOf(one, at) - levelOf(other, at));
    const cut = new Set(ringing.slice(0, tooMany));
    voices = voices.filter((voice) => !cut.has(voice));
    for (const { id } of cut) yield { type: 'cut', id, at };
  }

  function* endWhere(isMeant: (voice: Voice) => boolean, at: number, fade?: number) {
    for (const voice of voices) if (isMeant(voice)) yield* end(voice, at, fade);
  }

  /** Those of a channel that neither key nor pedal holds. */
  function* endReleased(number: number, at: number): Generator<SoundOrder> {
    const { isPedalDown } = channelOf(number);
    yield* endWhere(
      (voice) => voice.channel === number && !voice.isKeyDown && !voice.isOwn && !isPedalDown,
      at,
    );
  }

  function* begin(number: number, note: number, velocity: number, at: number) {
    // Struck again while the pedal alone holds it: one string, not two.
    const isSame = (voice: Voice) => voice.channel === number && voice.note === note;
    yield* endWhere((voice) => isSame(voice) && !voice.isKeyDown, at);
    const ringing = voices.filter((voice) => voice.endedAt === undefined);
    const softest = (one: Voice, other: Voice) =>
      levelOf(one, at) <= levelOf(other, at) ? one : other;
    if (ringing.length >= mostVoices) yield* end(ringing.reduce(softest), at, quick);
    const channel = channelOf(number);
    const isDrum = isFile && number === percussionChannel;
    const tone = isDrum ? tickOf(note, velocity) : toneOf(channel.timbre, note, velocity);
    const id = nextId;
    nextId += 1;
    voices.push({
      id,
      channel: number,
      note,
      tone,
      at,
      isKeyDown: true,
      isOwn: false,
      endedAt: undefined,
      release: tone.release,
    });
    yield {
      type: 'begin' as const,
      id,
      at,
      tone,
      channel: number,
      frequency: bent(tone.frequency, channel),
    };
  }

  function* release(number: number, note: number, at: number): Generator<SoundOrder> {
    const held = voices.find(
      (voice) => voice.channel === number && voice.note === note && voice.isKeyDown,
    );
    if (held === undefined) return;
    held.isKeyDown = false;
    yield* endReleased(number, at);
  }

  function* bend(number: number, at: number): Generator<SoundOrder> {
    const channel = channelOf(number);
    for (const { id, tone, channel: own, endedAt } of voices) {
      if (own !== number || endedAt !== undefined) continue;
      yield { type: 'pitch', id, at, frequency: bent(tone.frequency, channel) };
    }
  }

  function* sounding(message: ChannelMessage, at: number): Generator<SoundOrder> {
    const channel = channelOf(message.channel);
    switch (message.type) {
      case 'noteOn':
        yield* begin(message.channel, message.note, message.velocity, at);
        break;
      case 'noteOff':
        yield* release(message.channel, message.note, at);
        break;
      case 'pitchBend':
        channel.bend = bendOf(message.value, channel);
        yield* bend(message.channel, at);
        break;
      case 'programChange':
        if (isFile) channel.timbre = timbreOfProgram(message.program);
        break;
      case 'controlChange':
        yield* control(message.channel, message.controller, message.value, at);
        break;
      default:
    }
  }

  function* control(number: number, controller: number, value: number, at: number) {
    const channel = channelOf(number);
    const own = voices.filter((voice) => voice.channel === number);
    turn(channel, controller, value);
    hold(own, controller, value);
    if (controller === controllers.allSoundOff)
      for (const voice of own) yield* end(voice, at, quick);
    if (isReleasing(controller)) yield* endReleased(number, at);
    if (controller === controllers.resetAll) yield* bend(number, at);
    if (sizing.has(controller)) {
      yield { type: 'channel' as const, channel: number, at, gain: gainOf(channel) };
    }
  }

  /** The gain of the whole for the voices as they are now. */
  function* limit(at: number): Generator<SoundOrder> {
    let [left, right] = [0, 0];
    for (const voice of voices) {
      const most = levelOf(voice, at) * gainOf(channelOf(voice.channel));
      const sides = sidesOf(voice.tone.pan);
      left += most * sides[0];
      right += most * sides[1];
    }
    const wanted = gainUnder(wished, left, right);
    if (wanted === mix?.gain) return;
    const start = mix === undefined ? wanted : gainAt(mix, at);
    const within = wanted > start ? gainTimes.up : gainTimes.down;
    mix = { type: 'mix', at, start, gain: wanted, within };
    yield mix;
  }

  function* forget(at: number): Generator<SoundOrder> {
    const gone = voices.filter((voice) => (overAt(voice) ?? at) < at);
    if (gone.length === 0) return;
    voices = voices.filter((voice) => !gone.includes(voice));
    for (const voice of gone) yield { type: 'gone', id: voice.id, at: overAt(voice) ?? at };
  }

  return {
    receive(messages, at) {
      const gone = [...forget(at)];
      const orders = messages.flatMap((message) =>
        'channel' in message ? [...sounding(message, at)] : [],
      );
      return [...gone, ...orders, ...makeRoom(at), ...limit(at)];
    },
    setLevel(decibels, at) {
      wished = amplitudeOf(decibels);
      return [...limit(at)];
    },
    silence(at, how) {
      for (const channel of channels) channel.isPedalDown = false;
      for (const voice of voices) Object.assign(voice, { isKeyDown: false, isOwn: false });
      const orders = [...endWhere(() => true, at, how === 'at once' ? quick : undefined)];
      return [...orders, ...makeRoom(at)];
    },
    overAt() {
      let last = 0;
      for (const voice of voices) {
        const over = overAt(voice);
        if (over === undefined) return undefined;
        last = Math.max(last, over);
      }
      return last;
    },
  };
}

/** What a controller does to the keys of its channel. */
function hold(voices: readonly Voice[], controller: number, value: number): void {
  for (const voice of voices) {
    // Sostenuto holds what is down at the moment, and nothing that comes later.
    if (controller === controllers.sostenuto) voice.isOwn = value >= switchDown && voice.isKeyDown;
    if (controller === controllers.resetAll) voice.isOwn = false;
    if (controller >= controllers.allNotesOff) voice.isKeyDown = false;
  }
}

/** The most it can still reach. */
function levelOf({ tone, at, endedAt, release }: Voice, now: number): number {
  const falling = endedAt === undefined ? 1 : Math.exp(-(now - endedAt) / release);
  return levelAfter(tone, now - at) * falling;
}

function overAt({ tone, at, endedAt, release }: Voice): number | undefined {
  const ended = endedAt === undefined ? undefined : endedAt + release * timesUntilOver;
  const died = tone.longest === undefined ? undefined : at + tone.longest;
  if (ended === undefined || died === undefined) return ended ?? died;
  return Math.min(ended, died);
}
