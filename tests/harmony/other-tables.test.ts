/**
 * Chord symbols as the tables of other programs have them: the chords that abcjs plays (npm, MIT), the
 * list of musescore3 (Debian, GPL-2) and LilyPond's chord mode (Debian, GPL-3), the last two read
 * where they are installed and not copied. Where they and we differ, the reason stands here.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { expect, test } from 'vitest';
import { hasFolder, hasProgram } from '../helpers/outside.ts';
import { isShortRound } from '../helpers/round.ts';
import { ascending, expectOnly, readByUs } from './judged.ts';

/** What stands behind a C, and its tones in semitones above it. */
type Row = readonly [suffix: string, tones: readonly number[]];

/** Behind a C, '#5' and 'b5' would name another root. */
const isReadable = ([suffix]: Row): boolean => !/^[#b]/.test(suffix);

function disagreements(rows: readonly Row[]): string[] {
  return rows
    .filter(([suffix, tones]) => readByUs(`C${suffix}`) !== ascending(tones))
    .map(([suffix]) => suffix);
}

const words = (text: string): readonly string[] => text.split(' ');

test('the chords that abcjs plays', () => {
  // The table is no part of what the package exports.
  const source = readFileSync('node_modules/abcjs/src/synth/chord-track.js', 'utf8');
  const table = source.slice(source.indexOf('chordIntervals = {'));
  const rows = [...table.matchAll(/^\s*["']([^"']*)["']: \[([\d, ]+)\]/gm)]
    .map(([, suffix = '', tones = '']): Row => [suffix, tones.split(',').map(Number)])
    .filter(isReadable);
  expect(rows.length).toBeGreaterThan(330);
  expectOnly(disagreements(rows), {
    'a 13 stands on its 9th for us, and on a minor chord on its 11th too': [
      ...words('-7(9,13) -7/9/13 m7(9,13) m7/9/13 -7(11,13) -7/11/13 m7(11,13) m7/11/13'),
      ...words(
        '7(13) 7/13 7(11,13) 7/11/13 7(b5,13) 7/b5/13 7b5(13) 7b5/13 7sus4(13) 13#11 13(#11)',
      ),
      ...words('7M(13) 7M/13 7M(b5,13) maj7(13) maj7/13 maj7(b5,13) maj7b5/13 Δ7(13) ∆7(13)'),
    ],
    'an 11 drops the major third for us; no 11th stands under a major 13': words(
      'maj11 Δ11 ∆11 maj13 Δ13 Δ11(13) ∆11(13)',
    ),
    'b13 takes the place of the 5th of a dominant for us': words('7(b13) 7b13 7(#9,b13)'),
    'a bare triangle is a major seventh for us': words('Δ ∆'),
    'it has another row for the same chord without this fault: a major seventh, a missing b5, an added 9':
      words('m11 -11 dim7(b13) °7(b13) ˚7(b13) 7#11 7(#11)'),
    'plus is an augmented fifth for us, and a major seventh for it, with a flat ninth besides': [
      '-9+7',
    ],
    'the fifth stays beside a raised fourth for us, as in its own row sus#4':
      words('7Msus#4 maj7sus#4'),
    'an octave is no degree of a chord for us': words('5(8) 5add8'),
  });
});

const chordList = '/usr/share/mscore3-3.2/styles/chords.xml';

function semitonesOfName(name: string): number {
  const letter = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }[name[0] ?? ''];
  if (letter === undefined) throw new Error(`no note name: ${name}`);
  // A 'Dd' is among them, which we take for what it says least: a D.
  const signs = [...name.slice(1)].map((sign) => ({ '#': 1, b: -1 })[sign] ?? 0);
  return signs.reduce((sum, sign) => sum + sign, letter);
}

test.skipIf(!hasFolder('mscore3', chordList))(
  'the chord list of musescore3 [needs mscore3]',
  () => {
    const list = readFileSync(chordList, 'utf8');
    const rows = [...list.matchAll(/<chord id="\d+">(.*?)<\/chord>/gs)].flatMap(
      ([, body = '']): Row[] => {
        const name = /<name>(.*?)<\/name>/.exec(body)?.[1] ?? '';
        const voicing = /<voicing>(.*?)<\/voicing>/.exec(body)?.[1];
        if (voicing === undefined) return [];
        return [[name, voicing.trim().split(/\s+/).map(semitonesOfName)]];
      },
    );
    expect(rows.length).toBeGreaterThan(160);
    expectOnly(disagreements(rows.filter(isReadable)), {
      'no 11th stands under a 13 for us': [
        ...words('13 Maj13 13#11 13b9 13#9 13b5 13b5b9 13b5#9 13#5 13#5b9'),
      ],
      'an 11 drops the major third for us': words('11 Maj11'),
      'b13 takes the place of the 5th of a dominant for us, suspended or not': [
        ...words('7b13 7#11b13 9b13 9#11b13 7b9b13 7b9#11b13 7#9b13 7#9#11b13'),
        ...words('7susb13 7sus#11b13 9susb13 9sus#11b13 7susb9b13 7susb9#11b13'),
        ...words('7sus#9b13 7sus#9#11b13'),
      ],
      'its example leaves out or confuses a tone that its own name says': [
        ...words('7b5b13 7#5#11 7alt 7sus#11 13susb9#11 13susb5b9 7sus#5#11 Maj7Lyd'),
        ...words('aug7 aug9 maddb13'),
      ],
      'aug and + before a seventh, a suspended fourth, a suspended flat ninth and a Phrygian chord are otherwise in our alias table':
        words('7+ 4 susb9 Phryg'),
      'names of its own, which nobody writes': words('5b 7(Blues) add#13 add#11#13 Tristan'),
    });
  },
);

/** A symbol of ours, and the same chord as LilyPond's chord mode writes it over c. */
const modes: readonly (readonly [symbol: string, mode: string])[] = [
  ...words('m aug dim 7 m7 dim7 aug7 6 m6 9 m9 maj9 11 m11 maj11 13 m13 maj13').map(
    (word): readonly [string, string] => [word, word],
  ),
  ...words('maj7 sus sus4 sus2 7sus4 9sus4 13sus4 dim9 dim11 aug9 aug11').map(
    (word): readonly [string, string] => [word, word],
  ),
  ['m7(b5)', 'm7.5-'],
  ['7(b5)', '7.5-'],
  ['7(#5)', '7.5+'],
  ['7(b9)', '7.9-'],
  ['7(#9)', '7.9+'],
  ['7(#11)', '7.11+'],
  ['7(b13)', '7.13-'],
  ['7(b9,b13)', '7.9-.13-'],
  ['7(#9,b13)', '7.9+.13-'],
  ['9(b5)', '9.5-'],
  ['9(#5)', '9.5+'],
  ['9(#11)', '9.11+'],
  ['13(add11)', '13.11'],
  ['13(b9)', '13.9-'],
  ['13(#11)', '13.11+'],
  ['13(b9,#11)', '13.9-.11+'],
  ['m7(b9)', 'm7.9-'],
  ['m7(add11)', 'm7.11'],
  ['m11(b5)', 'm11.5-'],
  ['m(maj7)', 'm7+'],
  ['m(maj9)', 'm9.7+'],
  ['maj7(#5)', 'maj7.5+'],
  ['maj7(#11)', 'maj7.11+'],
  ['maj9(#11)', 'maj9.11+'],
  ['6/9', '6.9'],
  ['m6/9', 'm6.9'],
  ['add9', '3.5.9'],
  ['add11', '3.5.11'],
  ['sus2sus4', 'sus2.4'],
  ['6(11)', '6.11'],
  ['5', '1.5'],
  ['7(no3)', '7^3'],
  ['maj7(no5)', 'maj7^5'],
];

/** The chords of a MIDI file, in order. */
function chordsIn(path: string): number[][] {
  const chords = new Map<number, number[]>();
  for (const events of parseMidi(readFileSync(path)).tracks) {
    let tick = 0;
    for (const event of events) {
      tick += event.deltaTime;
      if (event.type !== 'noteOn') continue;
      chords.set(tick, [...(chords.get(tick) ?? []), event.noteNumber]);
    }
  }
  return [...chords.entries()].sort(([one], [other]) => one - other).map(([, notes]) => notes);
}

test.skipIf(isShortRound || !hasProgram('lilypond'))(
  'LilyPond’s chord mode [needs lilypond]',
  () => {
    const folder = mkdtempSync(join(tmpdir(), 'chord-mode-'));
    try {
      const chords = modes.map(([, mode]) => `c4:${mode}`).join(' ');
      const source = `\\version "2.24.0"\n\\score { \\chordmode { ${chords} } \\midi { } }\n`;
      writeFileSync(join(folder, 'modes.ly'), source);
      const options = ['-s', '-o', join(folder, 'modes'), join(folder, 'modes.ly')];
      execFileSync('lilypond', options, { stdio: 'ignore' });
      const played = chordsIn(join(folder, 'modes.midi'));
      expect(played).toHaveLength(modes.length);
      const rows = modes.map(([symbol], place): Row => [symbol, played[place] ?? []]);
      expectOnly(disagreements(rows), {
        'an 11 drops the major third for us': words('11 maj11 aug11'),
        'b13 takes the place of the 5th of a dominant for us': words('7(b13) 7(b9,b13) 7(#9,b13)'),
      });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
  60_000,
);
