import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { afterAll, expect, test } from 'vitest';
import { toMusicXml } from '../../src/take/musicxml.ts';
import { type Progression, ticksPerQuarter } from '../../src/take/progression.ts';
import { hasProgram } from '../helpers/outside.ts';
import { odd, plain } from './progressions.ts';

const folder = mkdtempSync(join(tmpdir(), 'notation-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Note = readonly [tick: number, note: number];

const inOrder = (notes: readonly Note[]) =>
  [...notes].sort(([a, one], [b, other]) => a - b || one - other);

function notesIn(path: string, tracks: (place: number) => boolean): readonly Note[] {
  const { header, tracks: all } = parseMidi(readFileSync(path));
  const perQuarter = header.ticksPerBeat ?? 1;
  return inOrder(
    all.flatMap((events, place) => {
      let tick = 0;
      return events.flatMap((event): Note[] => {
        tick += event.deltaTime;
        if (event.type !== 'noteOn' || !tracks(place)) return [];
        return [[Math.round((tick / perQuarter) * ticksPerQuarter), event.noteNumber]];
      });
    }),
  );
}

function sent({ chords, melody }: Progression): readonly Note[] {
  return inOrder([
    ...chords.flatMap(({ tick, notes }) => notes.map(({ note }): Note => [tick, note])),
    ...melody.map(({ tick, note }): Note => [tick, note]),
  ]);
}

function write(name: string, progression: Progression): string {
  const path = join(folder, `${name}.musicxml`);
  writeFileSync(path, toMusicXml(progression));
  return path;
}

// Debian's musescore3, a notation program of its own.
const editor = 'mscore3';
test.skipIf(!hasProgram(editor))(
  `a notation program reads the score and plays what was sent [needs ${editor}]`,
  () => {
    for (const [name, progression] of Object.entries({ plain, odd })) {
      const out = join(folder, `${name}.mid`);
      execFileSync(editor, ['-o', out, write(name, progression)], {
        env: { ...process.env, QT_QPA_PLATFORM: 'offscreen', XDG_RUNTIME_DIR: folder },
        stdio: 'ignore',
      });
      expect(
        notesIn(out, () => true),
        name,
      ).toEqual(sent(progression));
    }
  },
  120_000,
);

// Debian's lilypond: sounds the chord symbols alone.
test.skipIf(!hasProgram('lilypond'))(
  'the chord symbols, sounded, hold every note written under them [needs lilypond]',
  () => {
    const source = join(folder, 'symbols.ly');
    const options = ['-m', '-o', source, write('symbols', plain)];
    execFileSync('musicxml2ly', options, { stdio: 'ignore' });
    execFileSync('lilypond', ['-s', '-o', join(folder, 'symbols'), source], { stdio: 'ignore' });
    const midi = parseMidi(readFileSync(join(folder, 'symbols.midi')));
    const symbols = midi.tracks.findIndex((events) =>
      events.some((event) => event.type === 'trackName' && event.text.includes('Chords')),
    );
    const sounding = notesIn(join(folder, 'symbols.midi'), (place) => place === symbols);
    for (const { tick, notes, symbol } of plain.chords) {
      const named = new Set(sounding.filter(([at]) => at === tick).map(([, note]) => note % 12));
      const missing = notes.filter(({ note }) => !named.has(note % 12)).map(({ name }) => name);
      expect(missing, symbol).toEqual([]);
    }
  },
  120_000,
);
