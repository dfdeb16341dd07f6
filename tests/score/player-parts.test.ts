/** Scores and parts for players, by the schema, by an engraver and by other notation programs. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { enableLogToBuffer, VerovioToolkit } from 'verovio/esm';
import createModule from 'verovio/wasm';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { ToldParts } from '../../src/chart/parts/part-report.ts';
import { partByItself, scoreOfParts } from '../../src/commands/chart/part-progressions.ts';
import { toMusicXml } from '../../src/score/musicxml.ts';
import { type PlayersWish, toldFor } from '../chart/told-parts.ts';
import { testWithReference } from '../harmony/reference.ts';
import { hasProgram } from '../helpers/outside.ts';
import { isShortRound } from '../helpers/round.ts';
import { complaints, schemaFolder } from './schema.ts';

const tune =
  'title: Two Lamps\ncomposer: N. N.\n[A] |: Ebmaj7 | Cm7 / {/ F7} / | "softly" Fm7 r | <Bb7 :|\n[B] Gm7b5 C7b9 | Fm7 Bb7 | Gb7#11 | Ebmaj7 Eb6 ||';

/** Every clef, every way of transposing, a hand on strings, keys with many signs. */
const bands: readonly (readonly [string, PlayersWish])[] = [
  ['trumpet, alto sax, tenor sax, double bass', { strategy: 'hybrid', key: 'B' }],
  ['piccolo, english horn, bass clarinet, bass guitar', { strategy: 'close', key: 'F#m' }],
  ['strings', { strategy: 'drop-2', key: 'Eb' }],
  ['choir', { strategy: 'open', key: 'Ab' }],
  ['brass', { strategy: 'spread', key: 'Gb' }],
  ['guitar, baritone sax', { strategy: 'drop-2', key: 'E' }],
];

type Sheet = { readonly name: string; readonly xml: string; readonly notes: readonly number[] };

const ascending = (notes: readonly number[]) => [...notes].sort((one, other) => one - other);

/** What is on paper, and what it has to sound, each bar that is written once. */
function sheetsOf(told: ToldParts): readonly Sheet[] {
  const { chords } = told.voiced;
  const names = chords.map(({ chord: { written } }) => `${written.bar}.${written.share}`);
  const firsts = names.flatMap((name, place) => (names.indexOf(name) === place ? [place] : []));
  const notes = told.lines.map(({ chords: own }) =>
    firsts.flatMap((place) => (own[place] ?? []).map(({ note }) => note)),
  );
  const all = ascending(notes.flat());
  return [
    { name: 'score', xml: toMusicXml(scoreOfParts(told, 'concert')), notes: all },
    { name: 'transposed score', xml: toMusicXml(scoreOfParts(told, 'transposed')), notes: all },
    ...told.lines.map((line, place) => ({
      name: line.player.name,
      xml: toMusicXml(partByItself(told, line)),
      notes: ascending(notes[place] ?? []),
    })),
  ];
}

const known = new Map<string, readonly Sheet[]>();

const sheets = (some: typeof bands) =>
  some.flatMap(([players, wish]) => {
    const made = known.get(players) ?? sheetsOf(toldFor(tune, players, wish));
    known.set(players, made);
    return made;
  });

function soundsIn(bytes: Uint8Array): readonly number[] {
  const events = parseMidi(bytes).tracks.flat();
  return ascending(events.flatMap((each) => (each.type === 'noteOn' ? [each.noteNumber] : [])));
}

describe('scores and parts for players', () => {
  testWithReference('are MusicXML 4.0 by the schema of the W3C', schemaFolder, async () => {
    const all = sheets(isShortRound ? bands.slice(0, 3) : bands);
    expect(await complaints(...all.map(({ xml }) => xml))).toEqual([]);
  });

  describe('by an engraver of its own', () => {
    let module: unknown;
    beforeAll(async () => {
      module = await createModule();
      enableLogToBuffer(true, module);
    }, 60_000);

    test('are read without a warning and sound what the players were given', () => {
      for (const { name, xml, notes } of sheets(isShortRound ? bands.slice(0, 1) : bands)) {
        const toolkit = new VerovioToolkit(module);
        // Repeats are played as they are written: once.
        toolkit.setOptions({ expandNever: true });
        expect(toolkit.loadData(xml), name).toBeTruthy();
        expect(toolkit.getLog(), name).toBe('');
        const midi = Uint8Array.from(Buffer.from(toolkit.renderToMIDI(), 'base64'));
        toolkit.destroy();
        expect(soundsIn(midi), name).toEqual(notes);
      }
    });
  });

  test('are in the clef, key and transposition of the player, an octave by its own element', () => {
    const [score, , trumpet, alto, tenor, bass] = sheets(bands.slice(0, 1));
    expect(trumpet?.xml).toContain('<fifths>-5</fifths>');
    expect(alto?.xml).toContain('<fifths>-4</fifths>');
    expect(tenor?.xml).toMatch(/<chromatic>-2<\/chromatic>\s*<octave-change>-1</);
    expect(bass?.xml).toMatch(/<chromatic>0<\/chromatic>\s*<octave-change>-1</);
    // The tenor sounds where it is written in the score, under a clef that says so.
    expect(score?.xml).toContain('<clef-octave-change>-1</clef-octave-change>');
    expect(score?.xml.match(/<transpose>/g)).toHaveLength(1);
    expect(trumpet?.xml).toContain('<credit-words justify="left" valign="top">Trumpet in B♭<');
    expect(trumpet?.xml).not.toContain('<harmony>');
    expect(score?.xml).toContain('valign="top">Concert pitch<');
  });

  test('a note as in the signature is marked where the bar before had it otherwise', () => {
    const told = toldFor('| Cm7 | C7 | Cm7 |', 'strings');
    const xml = told.lines.map((line) => toMusicXml(partByItself(told, line))).join('\n');
    const courtesy = /<measure number="(\d)">(?:(?!<\/measure>)[\s\S])*?cautionary="yes"/g;
    const bars = [...xml.matchAll(courtesy)].map(([, bar]) => bar);
    expect(bars.length).toBeGreaterThan(0);
    expect(new Set(bars)).toEqual(new Set(['3']));
  });

  test('a part turns to its own key where the chart turns to another', () => {
    const told = toldFor(
      'key: Eb\n| Ebmaj7 | Bb7 |\nkey: E\n| Emaj7 | B7 |',
      'trumpet, alto sax, tuba',
    );
    const keys = told.lines.map((line) =>
      [...toMusicXml(partByItself(told, line)).matchAll(/<fifths>(-?\d)</g)].map(
        ([, each]) => each,
      ),
    );
    expect(keys).toEqual([
      ['-1', '6'],
      ['0', '-5'],
      ['-3', '4'],
    ]);
  });

  test('notes on one staff that sound together have letters of their own', () => {
    const told = toldFor('key: Ab\n| C7#9 | Fm7 | C7#9 |', 'guitar');
    const [line] = told.lines;
    const xml = line === undefined ? '' : toMusicXml(partByItself(told, line));
    const notes = xml.split('<note>').slice(1);
    const places = notes.map((each) => [
      ...[each.includes('<chord/>'), /<step>(.)/.exec(each)?.[1], /<octave>(.)/.exec(each)?.[1]],
    ]);
    expect(places.length).toBeGreaterThan(8);
    for (const [at, [isWith, step, octave]] of places.entries()) {
      const [, before, same] = places[at - 1] ?? [];
      if (isWith === true) expect([step, octave]).not.toEqual([before, same]);
    }
  });

  test('symbols of a transposed score are transposed with their staff', () => {
    const told = toldFor('| Ebmaj7 | F7/A |', 'trumpet, trombone', { strategy: 'shell' });
    const roots = (xml: string) => [...xml.matchAll(/<root-step>(.)</g)].map(([, step]) => step);
    expect(roots(toMusicXml(scoreOfParts(told, 'concert')))).toEqual(['E', 'F']);
    expect(roots(toMusicXml(scoreOfParts(told, 'transposed')))).toEqual(['F', 'G']);
    // And over a part, where somebody asks for them.
    const [trumpet] = told.lines;
    const part = trumpet && partByItself(told, trumpet, true);
    expect(part && roots(toMusicXml(part))).toEqual(['F', 'G']);
  });
});

// Programs that have to be started: with all tests, as those of scores.
const folder = mkdtempSync(join(tmpdir(), 'players-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const editor = 'mscore3';
test.skipIf(isShortRound || !hasProgram(editor))(
  `notation programs play what the players were given [needs ${editor}]`,
  () => {
    const env = { ...process.env, QT_QPA_PLATFORM: 'offscreen', XDG_RUNTIME_DIR: folder };
    for (const [place, { name, xml, notes }] of sheets(bands.slice(0, 2)).entries()) {
      const file = join(folder, `${place}`);
      // Every program has its own view of repeats.
      writeFileSync(`${file}.musicxml`, xml.replace(/<repeat [^>]*>/g, ''));
      execFileSync(editor, ['-o', `${file}.mid`, `${file}.musicxml`], { env, stdio: 'ignore' });
      expect(soundsIn(readFileSync(`${file}.mid`)), name).toEqual(notes);
      if (place > 1 || !hasProgram('lilypond')) continue;
      execFileSync('musicxml2ly', ['-o', `${file}.ly`, `${file}.musicxml`], { stdio: 'ignore' });
      execFileSync('lilypond', ['-s', '-o', file, `${file}.ly`], { stdio: 'ignore' });
    }
  },
  240_000,
);
