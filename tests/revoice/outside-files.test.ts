/**
 * MIDI files of other makers, voiced: none fails, what is not voiced is event for event what it was,
 * and every note-on keeps its note-off. From the test folders of the npm packages midifile-ts and
 * midiconvert (both MIT), and from Debian's openttd-openmsx (GPL-2) where it is installed.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import type { PartWish } from '../../src/revoice/harmony-parts.ts';
import { revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { hasFolder } from '../helpers/outside.ts';
import { eventsByMidiFile } from '../midi/smf.ts';
import { setupWith } from './voices.ts';

const ofPackages = ['node_modules/midifile-ts/fixtures', 'node_modules/midiconvert/test/midi'];
const ofDebian = '/usr/share/games/openttd/baseset/openmsx';

function filesIn(folder: string): readonly string[] {
  const names = readdirSync(folder).filter((name) => /\.midi?$/i.test(name));
  return names.sort().map((name) => join(folder, name));
}

function revoiced(bytes: Uint8Array, preset: string, wish: PartWish) {
  const read = readMidiFile(bytes);
  if (!read.ok) throw new Error(read.problem);
  const steps = revoiceMidiFile(read.value, { setup: setupWith(preset), wish });
  let step = steps.next();
  while (step.done !== true) step = steps.next();
  return step.value;
}

/** Note-ons less note-offs of each channel, key and track; 0 left out. */
function leftOpen(bytes: Uint8Array): ReadonlyMap<string, number> {
  const open = new Map<string, number>();
  parseMidi(bytes).tracks.forEach((events, track) => {
    for (const event of events) {
      if (event.type !== 'noteOn' && event.type !== 'noteOff') continue;
      const key = `${track} ${event.channel} ${event.noteNumber}`;
      const count = (open.get(key) ?? 0) + (event.type === 'noteOn' ? 1 : -1);
      if (count === 0) open.delete(key);
      else open.set(key, count);
    }
  });
  return open;
}

function expectKept(path: string): void {
  const bytes = Uint8Array.from(readFileSync(path));
  const before = eventsByMidiFile(bytes);
  const wishes: PartWish[] = [{}, ...before.map((_, place) => ({ tracks: [place + 1] }))];
  for (const wish of wishes) {
    const result = revoiced(bytes, 'fourths-over-root', wish);
    if (!result.ok) {
      expect(result.problem).toMatch(/there are no chords|no part of it/);
      continue;
    }
    const after = eventsByMidiFile(result.value.bytes);
    expect(after).toHaveLength(before.length);
    const { written } = result.value;
    before.forEach((events, place) => {
      if (!written.includes(place + 1)) expect(after[place]).toEqual(events);
    });
    // No more is left open than the file left open itself.
    const openBefore = leftOpen(bytes);
    for (const [key, count] of leftOpen(result.value.bytes)) {
      expect(Math.abs(count), key).toBeLessThanOrEqual(Math.abs(openBefore.get(key) ?? 0));
    }
  }
}

describe('from packages', () => {
  const files = ofPackages.flatMap(filesIn);

  test('there are several', () => {
    expect(files.length).toBeGreaterThanOrEqual(7);
  });

  test.each(files)('%s', expectKept);
});

const hasDebian = hasFolder('openttd-openmsx', ofDebian);
describe.skipIf(!hasDebian)("from Debian's openttd-openmsx [needs it installed]", () => {
  test.each(hasDebian ? filesIn(ofDebian) : [])('%s', expectKept, 60_000);
});
