/**
 * A small engine for testing the shells: every note also sounds an octave higher, 10 ms later when
 * `preset.gathering` is fixed; all else passes. Note 127 makes it throw, as a real one never should.
 */
import type { Engine, Setup } from '../../src/live/engine-api.ts';
import type { ChordReport, Snapshot } from '../../src/live/snapshot.ts';
import type { Message } from '../../src/midi/message.ts';

export const echoSetup: Setup = {
  preset: {
    id: 'octave',
    name: 'Octave',
    about: 'Adds the octave above.',
    strategy: 'close',
    voices: 1,
    upper: { lowest: 48, highest: 84 },
    bass: { policy: 'none', lowest: 36, highest: 55 },
    growth: 'as-played',
    gathering: { mode: 'at-once', ceilingMilliseconds: 30 },
  },
};

export const delayedSetup: Setup = {
  preset: {
    ...echoSetup.preset,
    id: 'late',
    gathering: { mode: 'fixed', ceilingMilliseconds: 10 },
  },
};

export function createEchoEngine(first: Setup): Engine {
  let setup = first;
  let revision = 0;
  let waiting: { readonly at: number; readonly message: Message }[] = [];
  let reports: ChordReport[] = [];
  const sounding = new Map<number, Message>();

  const out = (message: Message): Message => {
    if (message.type === 'noteOn') {
      const { channel, note } = message;
      sounding.set(channel * 128 + note, { type: 'noteOff', channel, note, velocity: 64 });
    } else if (message.type === 'noteOff') sounding.delete(message.channel * 128 + message.note);
    return message;
  };
  const letGo = () => {
    waiting = [];
    const messages = [...sounding.values()];
    sounding.clear();
    return messages;
  };
  return {
    receive(message, at) {
      revision += 1;
      if (message.type !== 'noteOn' && message.type !== 'noteOff') return [message];
      if (message.note === 127) throw new Error('note 127');
      const octave = { ...message, note: message.note + 12 };
      if (message.type === 'noteOn') reports.push(report(setup, at, message.note));
      if (message.type === 'noteOn' && setup.preset.gathering.mode === 'fixed') {
        waiting.push({
          at: at + setup.preset.gathering.ceilingMilliseconds * 1000,
          message: octave,
        });
        return [out(message)];
      }
      return [out(message), out(octave)];
    },
    prepare: () => false,
    advance(at) {
      const due = waiting.filter((entry) => entry.at <= at);
      waiting = waiting.filter((entry) => entry.at > at);
      return due.map((entry) => out(entry.message));
    },
    deadline: () => (waiting.length > 0 ? Math.min(...waiting.map((e) => e.at)) : undefined),
    choose: () => [],
    keep: () => [],
    latch: () => [],
    listen: () => [],
    takeShape: () => [],
    playSymbol: (_, keys) => keys,
    follow: () => [],
    oneKey: () => [],
    setPlace: () => [],
    change: (next) => {
      revision += 1;
      setup = next;
      return [];
    },
    letGo,
    panic: () => [...letGo(), { type: 'controlChange', channel: 0, controller: 123, value: 0 }],
    takeReports: () => {
      const taken = reports;
      reports = [];
      return taken;
    },
    snapshot: () => snapshot(setup, revision),
  };
}

function report(setup: Setup, at: number, note: number): ChordReport {
  const notes = [{ note, name: `note ${note}` }];
  return {
    atMicroseconds: at,
    heard: { symbol: 'C', runnerUp: '', notes },
    sent: { voices: [], symbol: 'C', label: 'octave', relaxed: [] },
    preset: setup.preset.id,
  };
}

function snapshot(setup: Setup, revision: number): Snapshot {
  const { id, upper, bass } = setup.preset;
  return {
    revision,
    preset: id,
    key: setup.key ?? '',
    upper,
    bass: { lowest: bass.lowest, highest: bass.highest },
    held: [],
    sounding: [],
    chords: [],
    isChordSounding: false,
    learned: { keys: 3, spreadMicroseconds: 0 },
  };
}
