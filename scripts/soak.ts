/**
 * `npm run soak [MINUTES] [record]`: plays 8 chords a second for ten minutes, or as long as told, with
 * another preset every two seconds, among real ALSA clients: aplaymidi plays and aseqdump listens.
 * What Handspan says it sent must be what aseqdump heard, note for note, and nothing may go on
 * sounding. Exit code 1 when that is not so. With `record` the whole take says what was sent; without
 * it the last minutes do, which are kept anyway: longer than those only the balance is looked at.
 */
import { existsSync, mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { parseMidi } from 'midi-file';
import { lastMinutes, takePath } from '../src/io/takes/take-store.ts';
import { parseJournal } from '../src/take/journal.ts';
import { listenTo } from '../tests/e2e/capture.ts';
import { endChildren } from '../tests/e2e/children.ts';
import {
  chord,
  type Played,
  playFile,
  programChange,
  writePerformance,
} from '../tests/e2e/performance.ts';
import { addressOf, inputName, makeHome, outputName, startPlaying } from '../tests/e2e/program.ts';
import { chordsBetweenSilences, notesOf, unbalanced } from '../tests/e2e/sounding.ts';

const chordsPerSecond = 8;
const holdMilliseconds = 90;
const secondsPerPreset = 2;
const presets = 10;
const shapes = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
];

/** A minute of chords whose roots and shapes come round in different lengths. */
function minute(): readonly Played[] {
  const every = 1000 / chordsPerSecond;
  const chords = Array.from({ length: 60 * chordsPerSecond }, (_, index) => {
    const root = 53 + ((index * 7) % 13);
    const notes = (shapes[index % shapes.length] ?? []).map((above) => root + above);
    return chord(notes, index * every, index * every + holdMilliseconds);
  });
  const changes = Array.from({ length: 60 / secondsPerPreset }, (_, index) =>
    programChange(index % presets, (index * secondsPerPreset + 1) * 1000 - 10),
  );
  return [...chords.flat(), ...changes];
}

/** Megabytes of the process that are in memory now. */
function residentOf(processId: number): number {
  const status = readFileSync(`/proc/${processId}/status`, 'utf8');
  return Math.round(Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1] ?? 0) / 1024);
}

/** Note-ons and note-offs on the take's track of what sounded. */
function notesInTake(path: string): number {
  const tracks = parseMidi(readFileSync(path)).tracks;
  const sounded = tracks.find((track) =>
    track.some((event) => event.type === 'trackName' && event.text === 'As sounded'),
  );
  return (sounded ?? []).filter(({ type }) => type === 'noteOn' || type === 'noteOff').length;
}

/** The same in what is kept of the last minutes. */
function notesKept(folder: string): number {
  const journal = takePath(join(folder, 'takes'), lastMinutes);
  const parsed = parseJournal(existsSync(journal) ? readFileSync(journal, 'utf8') : '');
  const events = parsed.ok ? parsed.value.events : [];
  const isNote = ([status = 0]: readonly number[]) => status >= 0x80 && status <= 0x9f;
  return events.filter(({ direction, bytes }) => direction === 'sounded' && isNote(bytes)).length;
}

/** The recorder keeps this much, and up to a tenth more. */
const keptMinutes = 10;

const minutes = Number(process.argv[2] ?? 10);
const isRecorded = process.argv[3] === 'record';
const say = (text: string) => process.stdout.write(`${text}\n`);
const take = join(mkdtempSync(join(tmpdir(), 'handspan-soak-')), 'take.mid');
const home = makeHome();
const recording = isRecorded ? ['--record', take] : [];
const program = await startPlaying(['--program-change', ...recording], home);
say(`0 min: ${residentOf(program.processId)} MB in memory`);
const listener = await listenTo(outputName);
const file = writePerformance(minute());
let isFine = true;
for (let passed = 1; passed <= minutes; passed += 1) {
  await playFile(file, addressOf(inputName)).ended;
  say(`${passed} min: ${residentOf(program.processId)} MB in memory`);
}
await wait(3_000);
const heard = await listener.stop();
const hanging = unbalanced(heard);
const { code } = await program.end();
const got = notesOf(heard).length;
const isAllKept = isRecorded || minutes <= keptMinutes;
const told = isRecorded ? notesInTake(take) : notesKept(home);
const sent = isAllKept ? told : got;
const chords = chordsBetweenSilences(heard).length;
say(`${minutes * 60 * chordsPerSecond} chords played, ${chords} heard from silence to silence`);
const kept = isAllKept ? '' : ' (not counted: more than is kept)';
say(`${sent} note-ons and note-offs sent${kept}, ${got} heard`);
say(`${hanging.length} notes left sounding`);
say(`Handspan ended with ${code}`);
if (code !== 0 || got !== sent || hanging.length > 0) {
  say([`These do not agree.`, ...hanging, program.stderr()].join('\n'));
  isFine = false;
}
await endChildren();
process.exit(isFine ? 0 : 1);
