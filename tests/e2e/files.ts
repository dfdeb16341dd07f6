/**
 * Files that Handspan writes, played by ALSA's aplaymidi and recorded by its arecordmidi: the same
 * notes in the same order, so a sequencer that is nobody's of this project reads them as meant.
 */
import assert from 'node:assert/strict';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, describe, test } from 'node:test';
import { parseMidi } from 'midi-file';
import { record } from './capture.ts';
import { endChildren } from './children.ts';
import { firstPreset, triads } from './expected.ts';
import { detachedChords, play, playFile } from './performance.ts';
import { addressOf, inputName, makeHome, start, startPlaying } from './program.ts';
import { waitFor } from './sequencer.ts';

const folder = mkdtempSync(join(tmpdir(), 'handspan-files-'));
/** What is sent to it comes out of it again. */
const through = 'Midi Through Port-0';

type Note = { readonly tick: number; readonly text: string };

/** Note-ons and note-offs of all tracks: in the order of ticks, then of tracks, as players merge. */
function notesIn(path: string): readonly string[] {
  const notes = parseMidi(readFileSync(path)).tracks.flatMap((events): Note[] => {
    let tick = 0;
    return events.flatMap((event): Note[] => {
      tick += event.deltaTime;
      if (event.type !== 'noteOn' && event.type !== 'noteOff') return [];
      const isOn = event.type === 'noteOn' && event.velocity > 0;
      return [{ tick, text: `${isOn ? 'on' : 'off'} ${event.channel}/${event.noteNumber}` }];
    });
  });
  return notes.toSorted((one, other) => one.tick - other.tick).map(({ text }) => text);
}

async function playedAndRecorded(path: string): Promise<readonly string[]> {
  const recorder = await record(through);
  await playFile(path, addressOf(through)).ended;
  const events = await recorder.stop();
  return events.flatMap((event) => {
    if (event.type !== 'noteOn' && event.type !== 'noteOff') return [];
    const isOn = event.type === 'noteOn' && event.velocity > 0;
    return [`${isOn ? 'on' : 'off'} ${event.channel}/${event.noteNumber}`];
  });
}

async function run(args: readonly string[], home?: string): Promise<void> {
  const program = start(args, home);
  const { code } = await program.ended();
  assert.equal(code, 0, program.stderr());
}

async function expectPlaysAsWritten(path: string, least: number): Promise<void> {
  const written = notesIn(path);
  assert.ok(written.length >= least, `${path} has only ${written.length} note events`);
  assert.deepEqual(await playedAndRecorded(path), written);
}

describe('a file, played by aplaymidi and recorded by arecordmidi', () => {
  after(endChildren);
  // Written beside this file by whoever runs it: that takes an emulated machine a minute.
  const [chart = '', again = ''] = ['chart', 'again'].map((name) =>
    join(import.meta.dirname, `${name}.mid`),
  );
  const take = join(folder, 'take.mid');

  test('of a chart', () => expectPlaysAsWritten(chart, 4 * 4 * 2));

  test('of a chart, voiced anew', async () => {
    assert.notDeepEqual(notesIn(again), notesIn(chart));
    await expectPlaysAsWritten(again, 4 * 4 * 2);
  });

  test('of a take that was kept after the session', async () => {
    const home = makeHome();
    const program = await startPlaying(['--preset', firstPreset], home);
    await play(detachedChords(triads), addressOf(inputName)).ended;
    await waitFor('the last chord', () =>
      program.stdout().trim().split('\n').length >= triads.length ? true : undefined,
    );
    await program.end();
    await run(['takes', 'export', 'last minutes', '--midi', take], home);
    await expectPlaysAsWritten(take, triads.length * (3 + 4) * 2);
  });
});
