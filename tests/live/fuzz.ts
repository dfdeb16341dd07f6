/**
 * Fuzzing with a seed: bytes as a bad day on stage would send them (notes, pedals, garbage, cut
 * messages) from two keyboards through decoder and engine, with presets, panics and lost ports in
 * between. Counts what must never happen.
 */
import { createEngine } from '../../src/live/engine.ts';
import type { Setup } from '../../src/live/engine-api.ts';
import { createDecoder } from '../../src/midi/decode.ts';
import type { Message } from '../../src/midi/message.ts';
import { longestRollMilliseconds, type Playing } from '../../src/presets/playing.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { type StageTune, tuneReadings } from '../../src/tune/tune.ts';
import { turns } from '../../src/voicing/choices.ts';

/** Mulberry32: small, fast and the same everywhere. Public domain, T. Ettinger. */
export function createRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

export type FuzzResult = {
  readonly messages: number;
  readonly sent: number;
  readonly chords: number;
  /** Notes that still sounded after all was let go, note-offs for silent notes, doubled note-ons. */
  readonly stuck: number;
  readonly unmatched: number;
};

const keys = ['C major', 'F# minor', 'Db major', 'follow', undefined];

/** Ways of playing that no shipped preset has, or only one: each in a quarter of the setups. */
function playedSomehow(preset: Preset, random: () => number): Preset {
  const now = () => random() < 0.25;
  const lowest = 36 + Math.floor(random() * 24);
  const first = Math.floor(random() * 16);
  const playing: Partial<Playing> = {
    ...preset.playing,
    ...(now() && { zone: { lowest, highest: lowest + Math.floor(random() * 40) } }),
    ...(now() && { commonTones: 'held' as const }),
    ...(now() && { latch: true }),
    ...(now() && { noteExpression: random() < 0.5 ? ('all' as const) : ('none' as const) }),
    ...(now() && { channels: { layout: random() < 0.5 ? 'bass-apart' : 'per-voice', first } }),
    ...(now() && {
      roll: {
        direction: random() < 0.5 ? ('up' as const) : ('down' as const),
        milliseconds: Math.floor(random() * longestRollMilliseconds),
      },
    }),
  };
  return { ...preset, playing };
}

function setupOf(preset: Preset, shipped: readonly Preset[], random: () => number): Setup {
  const key = keys[Math.floor(random() * keys.length)];
  const presets = random() < 0.5 ? shipped : [...shipped, ...shipped.slice(0, 5)];
  return {
    preset,
    presets,
    ...(random() < 0.3 && { place: Math.floor(random() * presets.length) }),
    controls: {
      isProgramChangeObeyed: random() < 0.5,
      next: { controller: 80 },
      previous: { controller: 81 },
      choose: { controller: 82 },
      panic: { controller: 83 },
      latch: { controller: 84 },
      oneKey: { controller: 85 },
      nextChord: { controller: 86 },
      nextPlace: { controller: 87 },
      previousSection: { controller: 88 },
      listen: { controller: 89 },
      keys: { lowest: 21, highest: 24 },
      ...(random() < 0.5 && { sectionKeys: { lowest: 25, highest: 28 } }),
      ...(random() < 0.3 && { chordKeys: { lowest: 90, highest: 96 } }),
    },
    switching: random() < 0.5 ? 'at-once' : 'next-chord',
    choosing: { strikes: random() < 0.5 ? 'all' : 'changed' },
    ...(key === undefined ? {} : { key }),
    ...(random() < 0.1 ? { upper: { lowest: 60, highest: 60 + Math.floor(random() * 20) } } : {}),
  };
}

/** Chords that the fuzzer's own hands may hold, a rest, and words that are no chord. */
const tuneSymbols = ['C', 'Am7', 'F#m7(b5)', 'G13', 'Ebmaj7', 'Bdim7', 'D7/F#', '', 'Hx', 'Esus4'];

function stageTune(random: () => number): StageTune {
  const symbolAt = () => tuneSymbols[Math.floor(random() * tuneSymbols.length)] ?? '';
  const chords = Array.from({ length: Math.floor(random() * 30) }, (_, index) => ({
    symbol: symbolAt(),
    ...{ bar: index + 1, beat: 1, writtenBar: index + 1, start: index * 4, length: 4 },
    ...{ section: '', opensSection: index % 8 === 0 },
  }));
  const reading = tuneReadings[Math.floor(random() * tuneReadings.length)] ?? 'with-growth';
  const tune = { title: '', bars: chords.length, length: chords.length * 4, chords };
  return { tune, reading, follow: random() < 0.3 ? 'clock' : 'player' };
}

/** Feeds about `count` messages; throws what the engine throws. */
export function fuzz(seed: number, count: number, presets: readonly Preset[]): FuzzResult {
  const random = createRandom(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const varied = [...presets, ...presets.map((preset) => playedSomehow(preset, random))];
  const engine = createEngine(setupOf(pick(varied), presets, random));
  const decoders = [createDecoder(), createDecoder()];
  const counts = new Int16Array(16 * 128);
  let at = 0;
  let messages = 0;
  let sent = 0;
  let chords = 0;
  let unmatched = 0;
  let stuck = 0;

  const check = (out: readonly Message[]): void => {
    sent += out.length;
    for (const message of out) {
      if (message.type !== 'noteOn' && message.type !== 'noteOff') continue;
      const slot = message.channel * 128 + message.note;
      const next = (counts[slot] ?? 0) + (message.type === 'noteOn' ? 1 : -1);
      if (next < 0 || next > 1) unmatched += 1;
      counts[slot] = next;
    }
  };

  const feed = (bytes: readonly number[]): void => {
    const source = random() < 0.85 ? 0 : 1;
    for (const message of decoders[source]?.push(bytes) ?? []) {
      messages += 1;
      check(engine.receive(message, at, source));
    }
  };

  const channel = (): number => (random() < 0.9 ? 0 : Math.floor(random() * 16));
  const note = (): number =>
    random() < 0.95 ? 45 + Math.floor(random() * 34) : Math.floor(random() * 128);
  const byte = (): number => Math.floor(random() * 256);
  const chordShape = (): number[] =>
    pick([
      [0, 4, 7],
      [0, 3, 7],
      [0, 4, 7, 10],
      [0, 3, 6],
      [0, 5, 7],
      [0, 1, 2],
    ]);

  /** Whole chords too, or hardly anything would ever be voiced. */
  const chord = (): void => {
    const root = note();
    const channelOfChord = channel();
    const notes = chordShape().map((above) => Math.min(127, root + above));
    for (const each of notes) {
      feed([0x90 | channelOfChord, each, 1 + Math.floor(random() * 127)]);
      at += Math.floor(random() * 12_000);
    }
    at += Math.floor(random() * 300_000);
    // Now and then a finger stays down.
    for (const each of notes) if (random() < 0.95) feed([0x80 | channelOfChord, each, 64]);
  };

  /** A chord that is typed. */
  const typed = (): void => {
    const root = note();
    const onChannel = channel();
    const notes = chordShape().map((above) => Math.min(127, root + above));
    const struck = notes.map(
      (each) => ({ type: 'noteOn', channel: onChannel, note: each, velocity: 80 }) as const,
    );
    messages += struck.length;
    check(engine.playSymbol(pick(['Fm6', 'Bb13sus4/F', 'C5', 'Eb/Db', '?']), struck, at));
    at += Math.floor(random() * 300_000);
    for (const each of notes) if (random() < 0.95) feed([0x80 | onChannel, each, 64]);
  };

  const configureZone = (manager: number): void => {
    const members = pick([0, 3, 5, 10, 15]);
    for (const [controller, value] of [
      [101, 0],
      [100, 6],
      [6, members],
    ] as const) {
      feed([0xb0 | manager, controller, value]);
    }
  };

  /** A keyboard of zones: says so, or no longer, plays each note on its own channel, and bends it. */
  const zoned = (): void => {
    const manager = random() < 0.7 ? 0 : 15;
    if (random() < 0.3) configureZone(manager);
    const root = note();
    const notes = chordShape().map((above, place) => {
      const member = manager === 0 ? 1 + place : 14 - place;
      return [member, Math.min(127, root + above)] as const;
    });
    for (const [member, each] of notes) feed([0x90 | member, each, 90]);
    at += Math.floor(random() * 100_000);
    for (const [member] of notes) {
      feed([0xe0 | member, byte() & 127, byte() & 127]);
      feed([0xd0 | member, byte() & 127]);
    }
    for (const [member, each] of notes) if (random() < 0.95) feed([0x80 | member, each, 64]);
  };

  const actions: readonly (readonly [weight: number, act: () => void])[] = [
    [20, () => feed([0x90 | channel(), note(), Math.floor(random() * 128)])],
    [20, () => feed([0x80 | channel(), note(), 64])],
    [25, chord],
    [8, zoned],
    [4, typed],
    [
      6,
      () =>
        feed([
          0xb0 | channel(),
          pick([64, 64, 66, 1, 7, 80, 81, 82, 83, 84, 85, 86, 86, 87, 88, 89, 120, 123, 121]),
          byte() & 127,
        ]),
    ],
    [4, () => feed([0xe0 | channel(), byte() & 127, byte() & 127])],
    [2, () => feed([0xc0 | channel(), byte() & 127])],
    [2, () => feed([0xd0 | channel(), byte() & 127])],
    [4, () => feed([pick([0xf8, 0xfa, 0xfc, 0xfe, 0xf6, 0xff])])],
    [1, () => feed([0xf2, byte() & 127, 0])],
    [3, () => feed([0xf0, byte() & 127, byte() & 127, 0xf7])],
    [4, () => feed(Array.from({ length: 1 + Math.floor(random() * 6) }, byte))],
    [4, () => check(engine.change(setupOf(pick(varied), presets, random), at))],
    [1, () => check(engine.choose({ turn: pick(turns), by: random() < 0.5 ? 1 : -1 }, at))],
    [2, () => check(engine.latch(at))],
    [1, () => check(engine.takeShape(at))],
    [2, () => check(engine.listen(random() < 0.5, at))],
    [1, () => check(engine.follow(random() < 0.2 ? undefined : stageTune(random), at))],
    [1, () => check(engine.oneKey(random() < 0.3, at))],
    [1, () => check(engine.setPlace(Math.floor(random() * 40) - 4, at))],
    [1, () => check(engine.panic(at))],
    [1, () => check(engine.letGo(at))],
  ];
  const total = actions.reduce((sum, [weight]) => sum + weight, 0);

  while (messages < count) {
    let roll = random() * total;
    for (const [weight, act] of actions) {
      roll -= weight;
      if (roll < 0) {
        act();
        break;
      }
    }
    at += random() < 0.8 ? Math.floor(random() * 20_000) : Math.floor(random() * 500_000);
    check(engine.advance(at));
    chords += engine.takeReports().length;
    if (random() < 0.001) engine.snapshot();
  }
  check(engine.letGo(at));
  for (const each of counts) stuck += Math.abs(each);
  return { messages, sent, chords, stuck, unmatched };
}
