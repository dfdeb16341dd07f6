import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { afterAll, expect, test } from 'vitest';
import { toMusicXml } from '../../src/score/musicxml.ts';
import { type Progression, ticksPerQuarter } from '../../src/score/progression.ts';
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

// In any key or none, in simple and compound time; both programs beside each other.
const heads: readonly Partial<Progression>[] = [
  { key: undefined },
  { key: undefined, tempo: 60, metres: [{ tick: 0, beats: 6, unit: 8 }] },
  { tempo: 60, beatNote: { unit: 8, dots: 0 }, metres: [{ tick: 0, beats: 6, unit: 8 }] },
];

test.skipIf(!hasProgram('musicxml2ly'))(
  'a converter takes every head of a score, and its tempo [needs musicxml2ly]',
  () => {
    const tempos = heads.map((head, place) => {
      const source = join(folder, `head-${place}.ly`);
      const xml = write(`head-${place}`, { ...plain, ...head });
      execFileSync('musicxml2ly', ['-o', source, xml], { stdio: 'ignore' });
      return /\\tempo ([\d.]+)\s*=\s*(\d+)/.exec(readFileSync(source, 'utf8'))?.slice(1).join('=');
    });
    expect(tempos).toEqual(['4=92', '4.=40', '8=120']);
  },
  60_000,
);

test.skipIf(!hasProgram(editor))(
  `a notation program knows the instrument and plays the tempo that is written [needs ${editor}]`,
  () => {
    for (const [place, head] of heads.entries()) {
      const progression = { ...plain, ...head };
      const out = join(folder, `head-${place}.mid`);
      execFileSync(editor, ['-o', out, write(`head-${place}`, progression)], {
        env: { ...process.env, QT_QPA_PLATFORM: 'offscreen', XDG_RUNTIME_DIR: folder },
        stdio: 'ignore',
      });
      const events = parseMidi(readFileSync(out)).tracks.flat();
      const tempo = events.find((event) => event.type === 'setTempo');
      expect(tempo).toMatchObject({
        microsecondsPerBeat: Math.round(60_000_000 / progression.tempo),
      });
      const programs = events.filter((event) => event.type === 'programChange');
      expect(programs.map(({ programNumber }) => programNumber)).toContain(0);
    }
    // Written again by that program: an instrument it does not know has no name there.
    const again = join(folder, 'again.musicxml');
    execFileSync(editor, ['-o', again, write('head', plain)], {
      env: { ...process.env, QT_QPA_PLATFORM: 'offscreen', XDG_RUNTIME_DIR: folder },
      stdio: 'ignore',
    });
    expect(readFileSync(again, 'utf8')).toContain('<instrument-name>Piano</instrument-name>');
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
