/** Instruments against the list of a notation program and a published table. */
import { describe, expect, test } from 'vitest';
import { type Instrument, instrumentById, instruments } from '../../src/ensemble/instruments.ts';
import { parseNote } from '../../src/harmony/pitch/pitch-name.ts';
import { referenceText, testWithReference } from '../harmony/reference.ts';

type Listed = {
  readonly id: string;
  readonly clef: string;
  readonly transposedClef: string;
  readonly transposeChromatic: number;
  readonly transposeDiatonic: number;
  readonly amateurSounding: readonly [number, number];
  readonly professionalSounding: readonly [number, number];
  readonly generalMidiProgram: number;
  readonly musicXmlSound: string;
};

/** Where the list has another id than ours. */
const listedAs: Readonly<Record<string, string>> = {
  'soprano-sax': 'soprano-saxophone',
  'alto-sax': 'alto-saxophone',
  'tenor-sax': 'tenor-saxophone',
  'baritone-sax': 'baritone-saxophone',
  ...{ cornet: 'bb-cornet', clarinet: 'bb-clarinet', trumpet: 'bb-trumpet' },
  ...{ cello: 'violoncello', 'double-bass': 'contrabass', 'bass-guitar': 'electric-bass' },
  ...{ guitar: 'guitar-nylon', 'guitar-inner': 'guitar-nylon' },
};

const clefs: Readonly<Record<string, string>> = {
  G: 'treble',
  F: 'bass',
  G8vb: 'treble-8vb',
  C3: 'alto',
  // A staff an octave off in the score too, as players of these have always read it.
  ...{ G8va: 'treble', F8vb: 'bass' },
};

/** Sounding clefs that are not the list's, and why. */
const otherConcertClefs: Readonly<Record<string, string>> = {
  // It lies where a cello does; the list has a treble clef an octave lower.
  'bass-clarinet': 'bass',
};

describe('instruments', () => {
  testWithReference(
    'lie inside the ranges that a notation program has, in its clefs and transpositions',
    'instruments/ranges.json',
    () => {
      const text = referenceText('instruments/ranges.json');
      const { instruments: list } = JSON.parse(text) as { readonly instruments: readonly Listed[] };
      for (const ours of instruments) {
        const { id, range, comfortable, transposition, clef, concertClef } = ours;
        const theirs = list.find((each) => each.id === (listedAs[id] ?? id));
        if (theirs === undefined) throw new Error(`${id} is not in the list`);
        const [lowest, highest] = theirs.professionalSounding;
        expect(range.lowest, id).toBeGreaterThanOrEqual(lowest);
        expect(range.highest, id).toBeLessThanOrEqual(highest);
        // What is comfortable, amateurs have as well.
        expect(comfortable.lowest, id).toBeGreaterThanOrEqual(theirs.amateurSounding[0]);
        expect(comfortable.highest, id).toBeLessThanOrEqual(theirs.amateurSounding[1]);
        const { transposeChromatic: chromatic, transposeDiatonic: diatonic } = theirs;
        expect(transposition, id).toEqual({ chromatic, diatonic });
        expect(ours.program - 1, id).toBe(theirs.generalMidiProgram);
        expect(ours.sound, id).toBe(theirs.musicXmlSound);
        expect(clef, id).toBe(clefs[theirs.transposedClef || theirs.clef]);
        expect(concertClef, id).toBe(otherConcertClefs[id] ?? clefs[theirs.clef]);
      }
    },
  );

  // Ranges of Orchestral Instruments, orchestralibrary.com/reftables/rang.html (read in its first
  // rows), which names Del Mar, Read, Kennan and Lang: as written there, for the best of players.
  test.each([
    ['piccolo', 'D4', 'C7'],
    ['flute', 'C4', 'D7'],
    ['alto-flute', 'C4', 'C7'],
    ['english-horn', 'B3', 'G6'],
    ['clarinet', 'E3', 'C7'],
    ['bass-clarinet', 'Eb3', 'G6'],
  ])('%s goes down as written in a published table, and no higher', (id, lowest, highest) => {
    const { range, transposition }: Instrument = instrumentById(id);
    expect(range.lowest).toBe((parseNote(lowest) ?? 0) + transposition.chromatic);
    expect(range.highest).toBeLessThanOrEqual((parseNote(highest) ?? 0) + transposition.chromatic);
  });

  test('have names of their own, what is comfortable inside the range, and a source', () => {
    const names = instruments.flatMap(({ id, aliases }) => [id, ...aliases]);
    expect(new Set(names).size).toBe(names.length);
    for (const { id, range, comfortable, source, program } of instruments) {
      expect(range.lowest, id).toBeLessThanOrEqual(comfortable.lowest);
      expect(comfortable.highest, id).toBeLessThanOrEqual(range.highest);
      expect(comfortable.highest - comfortable.lowest, id).toBeGreaterThanOrEqual(12);
      expect(source, id).toMatch(/source|definition|van|von|Adler|Read/);
      expect(program, id).toBeGreaterThanOrEqual(1);
    }
  });
});
