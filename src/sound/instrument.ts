/**
 * The instrument as a state machine: MIDI messages and times in, orders to a sounding graph out. It
 * knows which voices sound and how loud they still are (voices.ts), so that the sum has a limit (mix.ts).
 * The same machine plays live and into files.
 * Times are seconds on any clock that only goes forward; times of messages likewise.
 */
import type { ChannelMessage, Message } from '../midi/message.ts';
import { controllers, percussionChannel } from '../midi/specification.ts';
import { bendOf, bent, type Channel, gainOf, newChannel, turn } from './channel.ts';
import { sidesOf } from './level.ts';
import { Mix } from './mix.ts';
import type { SoundOrder } from './sound-order.ts';
import { type TimbreName, tickOf, timbreOfProgram, toneOf } from './timbre.ts';
import { levelOf, Voices } from './voices.ts';

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

/** What an instrument is made of. */
type Parts = {
  readonly voices: Voices;
  readonly mix: Mix;
  readonly channelOf: (number: number) => Channel;
  readonly isFile: boolean;
};

export function createInstrument({ timbre, level, isFile }: InstrumentOptions): Instrument {
  const voices = new Voices();
  const mix = new Mix(level);
  const channels = Array.from({ length: 16 }, () => newChannel(timbre));
  const channelOf = (number: number): Channel => channels[number] ?? newChannel(timbre);
  const parts: Parts = { voices, mix, channelOf, isFile };
  return {
    receive(messages, at) {
      const gone = [...voices.forget(at)];
      const orders = messages.flatMap((message) =>
        'channel' in message ? [...sounding(message, at, parts)] : [],
      );
      return [...gone, ...orders, ...voices.makeRoom(at), ...limit(at, parts)];
    },
    setLevel(decibels, at) {
      mix.setLevel(decibels);
      return [...limit(at, parts)];
    },
    silence(at, how) {
      for (const channel of channels) channel.isPedalDown = false;
      voices.letGo();
      const orders = [...voices.endWhere(() => true, at, how === 'at once')];
      return [...orders, ...voices.makeRoom(at)];
    },
    overAt: () => voices.overAt(),
  };
}

function* sounding(message: ChannelMessage, at: number, parts: Parts): Generator<SoundOrder> {
  const { voices, channelOf, isFile } = parts;
  const channel = channelOf(message.channel);
  switch (message.type) {
    case 'noteOn':
      yield* strike(message, at, parts);
      break;
    case 'noteOff':
      if (voices.release(message.channel, message.note)) {
        yield* voices.endReleased(message.channel, channel.isPedalDown, at);
      }
      break;
    case 'pitchBend':
      channel.bend = bendOf(message.value, channel);
      yield* bend(message.channel, at, parts);
      break;
    case 'programChange':
      if (isFile) channel.timbre = timbreOfProgram(message.program);
      break;
    case 'controlChange':
      yield* control(message, at, parts);
      break;
    default:
  }
}

function* strike(
  { channel: number, note, velocity }: Extract<Message, { type: 'noteOn' }>,
  at: number,
  { voices, channelOf, isFile }: Parts,
): Generator<SoundOrder> {
  const channel = channelOf(number);
  const isDrum = isFile && number === percussionChannel;
  const tone = isDrum ? tickOf(note, velocity) : toneOf(channel.timbre, note, velocity);
  yield* voices.begin({ channel: number, note, tone }, bent(tone.frequency, channel), at);
}

function* bend(number: number, at: number, { voices, channelOf }: Parts): Generator<SoundOrder> {
  const channel = channelOf(number);
  for (const { id, tone, channel: own, endedAt } of voices.all()) {
    if (own !== number || endedAt !== undefined) continue;
    yield { type: 'pitch', id, at, frequency: bent(tone.frequency, channel) };
  }
}

function* control(
  { channel: number, controller, value }: Extract<Message, { type: 'controlChange' }>,
  at: number,
  parts: Parts,
): Generator<SoundOrder> {
  const { voices, channelOf } = parts;
  const channel = channelOf(number);
  turn(channel, controller, value);
  voices.hold(number, controller, value);
  if (controller === controllers.allSoundOff) {
    yield* voices.endWhere((voice) => voice.channel === number, at, true);
  }
  if (isReleasing(controller)) yield* voices.endReleased(number, channel.isPedalDown, at);
  if (controller === controllers.resetAll) yield* bend(number, at, parts);
  if (sizing.has(controller)) {
    yield { type: 'channel', channel: number, at, gain: gainOf(channel) };
  }
}

/** The gain of the whole for the voices as they are now. */
function* limit(at: number, { voices, mix, channelOf }: Parts): Generator<SoundOrder> {
  let [left, right] = [0, 0];
  for (const voice of voices.all()) {
    const most = levelOf(voice, at) * gainOf(channelOf(voice.channel));
    const sides = sidesOf(voice.tone.pan);
    left += most * sides[0];
    right += most * sides[1];
  }
  yield* mix.limit(left, right, at);
}
