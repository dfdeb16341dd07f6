/** The built-in sound of a session: on and off by a key, its level, and play that goes on without. */
import { expect, test } from 'vitest';
import type { SoundHost, SoundWish } from '../../src/io/sound/sound-host.ts';
import { createBuiltInSound, isSoundWished } from '../../src/session/built-in-sound.ts';

function surroundings(problem = '') {
  const told: string[] = [];
  const wishes: SoundWish[] = [];
  const host: SoundHost = {
    facts: { device: '', sampleRate: 48_000, baseLatency: 0, outputLatency: 0 },
    socket: 'there',
    play: () => {},
    setLevel: (level) => told.push(`level ${level}`),
    silence: () => {},
    close: async () => void told.push('closed'),
  };
  const sound = createBuiltInSound({
    timbre: 'struck',
    sendTo: (socket) => told.push(`to ${socket}`),
    say: (sentence) => told.push(sentence),
    onChange: (chosen) => told.push(`remember ${JSON.stringify(chosen)}`),
    start: async (wish) => {
      wishes.push(wish);
      return problem === '' ? { ok: true, value: host } : { ok: false, problem };
    },
  });
  return { sound, told, wishes };
}

test('it begins soft, and tells of itself', async () => {
  const { sound, told, wishes } = surroundings();
  await sound.toggle();
  expect(wishes.map(({ level }) => level)).toEqual([-10]);
  expect(told).toEqual([
    'level -10',
    'to there',
    'remember {"isOn":true}',
    'The built-in sound is on, -10 dB; set your monitors low.',
  ]);
});

test('the level goes in steps between two ends, also while it is off', async () => {
  const { sound, told, wishes } = surroundings();
  for (let step = 0; step < 9; step += 1) sound.stepLevel(1);
  expect(told.at(-1)).toBe('The level of the built-in sound is +6 dB, the last step.');
  for (let step = 0; step < 20; step += 1) sound.stepLevel(-1);
  expect(told.at(-1)).toBe('The level of the built-in sound is -40 dB, the last step.');
  expect(await sound.turnOn()).toBe('');
  expect(wishes[0]?.level).toBe(-40);
});

test('asked for twice it starts once; off is off; what dies is told of, and can be started again', async () => {
  const { sound, told, wishes } = surroundings();
  await Promise.all([sound.turnOn(), sound.turnOn()]);
  expect(wishes).toHaveLength(1);
  wishes[0]?.onLost?.('It stopped.');
  expect(sound.isOn()).toBe(false);
  expect(told.slice(-2)).toEqual(['to undefined', 'It stopped.']);
  await sound.toggle();
  await sound.toggle();
  expect(told.slice(-4)).toEqual([
    'to undefined',
    'closed',
    'remember {"isOn":false}',
    'The built-in sound is off.',
  ]);
});

test('where none is to be had there is one sentence, and nothing is remembered', async () => {
  const { sound, told } = surroundings('No sound here.');
  await sound.toggle();
  expect(told).toEqual(['No sound here.']);
  expect(sound.isOn()).toBe(false);
});

test('one that opens while the session closes is closed', async () => {
  const { sound, told } = surroundings();
  const opening = sound.turnOn();
  await sound.close();
  await opening;
  expect(told).toEqual(['closed', 'to undefined']);
});

test('beside MIDI ports it is off unless it is asked for; in a rehearsal at a terminal it is on', () => {
  const flags = [false, true];
  for (const isAsked of flags)
    for (const isRefused of flags)
      for (const isTerminal of flags)
        for (const isOffRemembered of flags) {
          const wishes = { isAsked, isRefused, isTerminal, isOffRemembered };
          const withPorts = isSoundWished({ ...wishes, ports: {} });
          const inRehearsal = isSoundWished({ ...wishes, ports: undefined });
          expect(withPorts).toBe(isAsked && !isRefused);
          const isDesk = isTerminal && !isOffRemembered;
          expect(inRehearsal).toBe(!isRefused && (isAsked || isDesk));
        }
});
