/**
 * Grips as a teacher would put them: what they are called, and how they are built. Several answers where
 * handbooks differ. 'V05' and the like: worked values of the drop voicings, rootless forms, spreads,
 * stacks, hybrids and upper structures in voicing/worked-values.test.ts, each with its source there;
 * all others are common practice, no source. The second list was written apart, before the first was
 * used to mend anything, and is no ground for mending: it is scored.
 */
import { describe, expect, test } from 'vitest';
import { parseKey } from '../../src/harmony/key/key.ts';
import { nameNotes } from '../../src/harmony/naming/naming.ts';
import { parseNote, pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import type { Context } from '../../src/harmony/recognition/context.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';

type Where = { readonly key?: string; readonly after?: string };
type Grip = readonly [
  notes: string,
  where: Where,
  symbols: readonly string[],
  techniques: readonly string[],
  source?: string,
];

const grips: readonly Grip[] = [
  // close
  ['C4 E4 G4', {}, ['C'], ['close']],
  ['Eb4 G4 Bb4 D5', {}, ['Ebmaj7'], ['close']],
  ['F#4 A4 C#5 E5', {}, ['F#m7'], ['close']],
  ['C4 Eb4 Gb4 Ab4', {}, ['Ab7/C'], ['close']],
  ['Bb2 D4 F4 Ab4 C5', {}, ['Bb9'], ['close']],
  ['E4 G#4 B4 C#5', { key: 'E', after: 'B7' }, ['E6'], ['close'], 'R02'],
  ['F4 Ab4 Bb4 Db5', { key: 'Db' }, ['Db6/F', 'Bbm7/F'], ['close'], 'V16'],
  ['C#4 E4 G4 Bb4', {}, ['C#dim7', 'Dbdim7'], ['close']],
  ['C#4 E4 G4 B4', { key: 'D', after: 'Em7' }, ['C#m7(b5)', 'A9/C#'], ['close', 'rootless']],
  ['D4 F#4 A4 C#5', {}, ['Dmaj7'], ['close']],
  // drop
  ['Bb3 Eb4 G4 D5', {}, ['Ebmaj7/Bb'], ['drop-2'], 'V05'],
  ['C#4 F#4 A4 E5', {}, ['F#m7/C#'], ['drop-2'], 'V08'],
  ['Gb3 C4 Eb4 Ab4', {}, ['Ab7/Gb'], ['drop-2'], 'V11'],
  ['G3 Eb4 Bb4 D5', {}, ['Ebmaj7/G'], ['drop-3']],
  ['F#3 C#4 A4 E5', {}, ['F#m7'], ['drop-2-4'], 'V10'],
  ['Eb3 Bb3 G4 D5', {}, ['Ebmaj7'], ['drop-2-4'], 'V07'],
  ['D2 F3 C4 E4 A4', {}, ['Dm9'], ['drop-2', 'spread']],
  [
    'G3 C#4 E4 A#4',
    {},
    ['Gdim7', 'C#dim7/G', 'A#dim7/G', 'Edim7/G', 'Bbdim7/G'],
    ['drop-2'],
    'V13',
  ],
  // open
  ['D3 A3 F#4', {}, ['D'], ['open'], 'V14'],
  ['F#3 C#4 A4', {}, ['F#m'], ['open']],
  ['Ab3 Eb4 C5', {}, ['Ab'], ['open']],
  ['G3 E4 C5', {}, ['C/G'], ['open']],
  // shell
  ['A2 G#3 C#4', {}, ['Amaj7'], ['shell'], 'V23'],
  ['Db3 F3 B3', {}, ['Db7'], ['shell'], 'V25'],
  ['F#2 E3 A3', {}, ['F#m7'], ['shell']],
  ['G2 F3 C4', {}, ['G7sus4', 'G7sus4(no5)'], ['shell', 'fourths']],
  ['Eb3 Gb3 D4', {}, ['Ebm(maj7)'], ['shell']],
  // rootless
  ['D3 F#3 A3 C#4', { key: 'A' }, ['Dmaj7', 'Bm9/D', 'Bm9'], ['rootless', 'close'], 'V28'],
  ['D3 F#3 G#3 C#4', { key: 'A', after: 'Bm7' }, ['E13/D', 'E13'], ['rootless'], 'V29'],
  ['Db3 F3 Gb3 Bb3', { key: 'Db' }, ['Gbmaj7/Db', 'Ebm9/Db', 'Ebm9'], ['rootless', 'close'], 'V31'],
  ['C3 F3 Gb3 Bb3', { key: 'Db', after: 'Ebm7' }, ['Ab13/C', 'Ab13'], ['rootless'], 'V32'],
  ['F3 A3 B3 E4', { key: 'C' }, ['G13/F', 'G13'], ['rootless']],
  ['B3 E4 F4 A4', { key: 'C' }, ['G13/B', 'G13'], ['rootless']],
  [
    'F3 A3 B3 E4',
    { key: 'F#m', after: 'G#m7b5' },
    ['C#7alt/E#', 'C#7alt', 'C#7(#9,b13)/E#', 'C#7(#9,b13)', 'C#7(#9,#5)/E#', 'C#7(#5,#9)/E#'],
    ['rootless'],
    'V35',
  ],
  [
    'B3 E4 F4 A4',
    { key: 'Gb', after: 'Abm7' },
    ['Db7alt/Cb', 'Db7alt', 'Db7(#9,b13)/Cb', 'Db7(#9,b13)', 'Db7(#5,#9)/Cb'],
    ['rootless'],
    'V37',
  ],
  ['D#3 F#3 A3 C4', { key: 'Em' }, ['B7(b9)/D#', 'B7(b9)', 'D#dim7'], ['rootless', 'close'], 'V38'],
  [
    'A3 B3 D4 F#4',
    { key: 'A', after: 'Bm7' },
    ['Bm7/A', 'E9sus4/A', 'E9sus4'],
    ['rootless', 'close'],
    'V40',
  ],
  ['D#3 G#3 A3 C#4', { key: 'F#m', after: 'C#7' }, ['F#m6/9/D#', 'F#m6/9'], ['rootless'], 'V36'],
  // spread
  ['Eb2 Bb2 G3 D4 F4', {}, ['Ebmaj9'], ['spread'], 'V41'],
  ['A2 G3 C#4 F#4 B4', {}, ['A13'], ['spread', 'fourths'], 'V42'],
  ['F#2 E3 A3 C#4 G#4', {}, ['F#m9'], ['spread'], 'V43'],
  ['E2 B2 G#3 C#4 F#4', {}, ['E6/9'], ['spread']],
  ['Db3 F3 B3 E4', {}, ['Db7(#9)'], ['spread', 'fourths'], 'V44'],
  ['Bb1 F2 D3 Ab3 C4', {}, ['Bb9'], ['spread']],
  ['D2 A2 F#3', {}, ['D'], ['spread', 'open']],
  // fourths
  ['D2 F#3 B3 E4', {}, ['D6/9'], ['fourths'], 'V46'],
  ['C#2 F#3 B3 E4', {}, ['C#m11', 'C#m7(add11)', 'C#m7(11)'], ['fourths'], 'V47'],
  [
    'C#2 F#3 B3 E4',
    { key: 'A' },
    ['C#m11', 'C#m7(add11)', 'C#m7(11)', 'A6/9/C#'],
    ['fourths'],
    'V49',
  ],
  ['G#2 F#3 B3 E4', {}, ['Eadd9/G#'], ['fourths'], 'V50'],
  ['F#2 E3 A3 D4', {}, ['Dadd9/F#'], ['fourths'], 'V53'],
  ['E2 G#3 D4 G4', {}, ['E7(#9)'], ['fourths', 'spread'], 'V55'],
  ['G3 C#4 F#4 B4 E5', {}, ['A13/G', 'A13', 'Gmaj13(#11)'], ['fourths'], 'V58'],
  [
    'G#3 D4 G4 C5',
    {},
    ['E7alt/G#', 'E7alt', 'E7(#9,b13)/G#', 'E7(#9,b13)', 'E7(#5,#9)/G#'],
    ['fourths'],
    'V59',
  ],
  ['G#3 C#4 F#4 B4 E5', {}, ['E6/9/G#', 'C#m11/G#'], ['fourths'], 'V60'],
  ['C#3 F#3 B3 E4 G#4', {}, ['C#m11', 'C#m7(add11)'], ['fourths-and-third'], 'V61'],
  ['D3 G3 C4 F4 A4', {}, ['Dm11', 'Dm7(add11)'], ['fourths-and-third'], 'V86'],
  ['Eb2 G3 C4 F4 Bb4 D5', {}, ['Ebmaj13', 'Ebmaj9(13)'], ['fourths-and-third']],
  ['B1 F#3 B3 E4', {}, ['Bsus4'], ['fourths'], 'V52'],
  ['F2 Eb3 A3 D4', {}, ['F13'], ['fourths', 'spread']],
  // fifths
  [
    'C2 G2 D3 A3',
    {},
    ['C6/9(no3)', 'D7sus4/C', 'Csus2(add6)', 'Csus2(add13)', 'C5(add9,add13)', 'Am11/C'],
    ['fifths'],
  ],
  ['A2 E3 B3 C#4', {}, ['Aadd9'], ['fifths'], 'V85'],
  ['F#2 C#3 G#3 A3', {}, ['F#m(add9)'], ['fifths']],
  ['Eb2 Bb2 F3 C4 G4', {}, ['Eb6/9'], ['fifths']],
  ['D3 A3 E4 B4', {}, ['D6/9(no3)', 'E7sus4/D', 'Dsus2(add6)', 'Dsus2(add13)'], ['fifths']],
  // hybrid
  ['A2 E4 G#4 B4', {}, ['E/A'], ['hybrid'], 'V67'],
  ['Db2 Ab3 C4 Eb4', {}, ['Ab/Db'], ['hybrid'], 'V68'],
  ['E2 A3 D4 F#4', {}, ['D/E', 'E9sus4'], ['hybrid'], 'V69'],
  ['F#2 G#3 C#4 E4', {}, ['C#m/F#'], ['hybrid'], 'V70'],
  ['B1 F#3 A3 C#4 E4', {}, ['F#m7/B', 'B9sus4'], ['hybrid'], 'V71'],
  ['E2 A3 D4 F4', {}, ['Dm/E', 'E7sus4(b9)'], ['hybrid'], 'V73'],
  ['B1 A3 C#4 E4 G#4', {}, ['Amaj7/B', 'B13sus4'], ['hybrid'], 'V74'],
  ['C2 D4 F#4 A4', {}, ['D/C'], ['hybrid']],
  ['A2 B3 D#4 F#4', {}, ['B/A'], ['hybrid'], 'V72'],
  ['C2 F#3 A#3 C#4', {}, ['Gb/C', 'F#/C'], ['hybrid']],
  // upper structure
  [
    'G3 Db4 F4 A4 C5',
    {},
    ['Eb13(#11)/G', 'Eb13(#11)', 'A7(#9,b13)/G', 'A7alt/G', 'A7(#5,#9)/G'],
    ['upper-structure'],
    'V76',
  ],
  ['Eb2 G3 Db4 F4 A4 C5', {}, ['Eb13(#11)'], ['upper-structure']],
  ['Eb2 G3 Db4 Gb4 Bb4 Db5', {}, ['Eb7(#9)'], ['upper-structure'], 'V77'],
  [
    'Eb2 G3 Db4 Eb4 Gb4 B4',
    {},
    ['Eb7(#9,b13)', 'Eb7alt', 'Eb7(#5,#9)'],
    ['upper-structure'],
    'V79',
  ],
  ['A2 C#4 G4 Bb4 Eb5 G5', {}, ['A7(b9,#11)', 'A7(b5,b9)'], ['upper-structure']],
  ['C2 E3 Bb3 C#4 E4 A4', {}, ['C13(b9)'], ['upper-structure'], 'V80'],
  ['F2 Eb3 A3 Db4 F4 Ab4', {}, ['F7(#9,b13)', 'F7alt', 'F7(#5,#9)'], ['upper-structure']],
  ['D2 C3 F#3 E4 G#4 B4', {}, ['D13(#11)'], ['upper-structure']],
  ['G2 F3 B3 Db4 F4 Ab4', {}, ['G7(b9,#11)', 'G7(b5,b9)'], ['upper-structure']],
  ['C2 B3 E4 G4 B4 D5', {}, ['Cmaj9'], ['upper-structure', 'spread']],
  // polychord
  ['D3 F#3 A3 E4 G#4 B4', {}, ['E\\D', 'E|D', 'Dmaj13(#11)', 'D6/9(#11)'], ['polychord']],
  ['A2 C#3 E3 C4 Eb4 G4', {}, ['Cm\\A', 'A7(#9,#11)'], ['polychord']],
  ['F3 A3 C4 G4 B4 D5', {}, ['G\\F', 'F6/9(#11)', 'Fmaj13(#11)'], ['polychord']],
  ['Eb3 G3 Bb3 F4 A4 C5', {}, ['F\\Eb', 'Eb6/9(#11)', 'Ebmaj13(#11)'], ['polychord']],
  // cluster
  ['C#4 D4 E4 F#4', {}, ['Dmaj9/C#', 'Bm11/C#', 'Dmaj9', 'Bm11'], ['cluster']],
  ['D4 E4 F#4 G#4', {}, ['E9/D'], ['cluster']],
  ['D2 C#4 E4 F#4', {}, ['Dmaj9'], ['cluster', 'close']],
  ['Bb3 C4 Db4 E4', {}, ['C7(b9)/Bb'], ['cluster']],
  // block
  ['Eb4 F4 Ab4 C5 Eb5', {}, ['Fm7/Eb', 'Ab6/Eb'], ['block'], 'V21'],
  ['C#4 E4 F#4 A4 E5', {}, ['F#m7/C#'], ['block'], 'V22'],
  ['G4 Bb4 C5 Eb5 G5', {}, ['Cm7/G', 'Eb6/G'], ['block']],
  // key and function
  [
    'C2 B3 E4 A4',
    { key: 'C' },
    ['Cmaj13', 'Cmaj7(add13)', 'Cmaj7(13)', 'Cmaj13(no5)'],
    ['fourths'],
  ],
  ['Ab3 C4 D4 F4', { key: 'Fm' }, ['Fm6/Ab'], ['close']],
  ['F3 A3 C4 D4', { key: 'Dm' }, ['Dm7/F'], ['close']],
  ['Gb2 Ab3 C4 Eb4', { key: 'Ab' }, ['Ab/Gb', 'Ab7/Gb'], ['close']],
];

const apart: readonly Grip[] = [
  ['F2 E3 A3 D4 G4', {}, ['Fmaj13', 'F6/9(maj7)', 'Fmaj9(13)'], ['fourths', 'spread']],
  ['Ab2 Gb3 C4', {}, ['Ab7'], ['shell']],
  ['B2 A3 D4 F#4', {}, ['Bm7'], ['drop-3', 'spread', 'shell']],
  ['E4 G4 Bb4 D5', {}, ['Em7(b5)'], ['close']],
  ['F#3 B3 E4', {}, ['Bsus4/F#', 'F#7sus4', 'F#7sus4(no5)', 'Esus2/F#'], ['fourths']],
  ['Eb2 Bb3 D4 F4', {}, ['Bb/Eb'], ['hybrid']],
  ['G2 F3 A3 C4', {}, ['F/G', 'G9sus4'], ['hybrid']],
  ['D2 C4 E4 G4', {}, ['C/D', 'D9sus4'], ['hybrid']],
  ['Bb1 D3 Ab3 C4 E4 G4', {}, ['Bb13(#11)'], ['upper-structure']],
  ['E2 G#3 D4 F4 Bb4 D5', {}, ['E7(b9,#11)', 'E7(b5,b9)'], ['upper-structure']],
  ['C3 E3 G3 D4 F#4 A4', {}, ['D\\C', 'D|C', 'C6/9(#11)'], ['polychord']],
  ['G3 C4 F4 Bb4 D5', {}, ['Gm11'], ['fourths-and-third']],
  ['B3 C4 D4 E4', {}, ['Cmaj9/B', 'Am11/B'], ['cluster']],
  ['F4 Ab4 Bb4 D5 F5', {}, ['Bb7/F'], ['block']],
  ['Bb2 F3 C4 D4', {}, ['Bbadd9'], ['fifths']],
  ['G2 D3 A3 E4', {}, ['G6/9(no3)', 'A7sus4/G', 'Gsus2(add6)', 'Gsus2(add13)'], ['fifths']],
  ['Eb3 G3 A3 D4', { key: 'Bb', after: 'Cm7' }, ['F13/Eb', 'F13'], ['rootless']],
  ['A3 D4 Eb4 G4', { key: 'Bb' }, ['F13/A', 'F13'], ['rootless']],
  ['G3 Bb3 C4 Eb4', { key: 'Cm' }, ['Cm7/G'], ['close']],
  ['Bb3 D4 F4 G4', { key: 'Gm' }, ['Gm7/Bb'], ['close']],
  ['Eb4 G4 A4 C5', { key: 'Cm' }, ['Cm6/Eb'], ['close']],
  ['D3 C4 F#4 B4', {}, ['D13'], ['fourths', 'spread']],
  ['F3 C4 Ab4 Eb5', {}, ['Fm7'], ['drop-2-4']],
  ['A3 E4 C5', {}, ['Am'], ['open']],
  ['Db2 F3 B3 E4 A4', {}, ['Db7(#9,b13)', 'Db7alt', 'Db7(#5,#9)'], ['fourths']],
  ['B2 F#3 D4 A4', {}, ['Bm7'], ['drop-2-4', 'spread']],
  ['F#2 C4 E4 A4', {}, ['F#m7(b5)', 'Am/F#'], ['close', 'spread', 'open']],
  ['Eb2 Db4 F4 Ab4', {}, ['Db/Eb', 'Eb9sus4'], ['hybrid']],
  ['G1 D2 B2 F3 A3', {}, ['G9'], ['spread']],
  ['C2 E4 G#4 B4', {}, ['Cmaj7(#5)', 'E/C'], ['close', 'spread', 'upper-structure']],
];

function contextOf({ key, after }: Where): Context {
  const parsed = key === undefined ? undefined : parseKey(key);
  const before = after === undefined ? undefined : parseSymbol(after);
  return {
    ...(parsed?.ok && { key: parsed.value }),
    ...(before?.ok && {
      previous: { root: pitchClassOfSpelled(before.value.root), type: before.value.type },
    }),
  };
}

function notesOf(text: string): number[] {
  return text.split(' ').map((name) => {
    const note = parseNote(name);
    if (note === undefined) throw new Error(`no note: ${name}`);
    return note;
  });
}

/** Of the grips those whose first reading or whose technique is another, in words. */
function misnamed(list: readonly Grip[]): {
  readonly symbols: string[];
  readonly techniques: string[];
} {
  const symbols: string[] = [];
  const techniques: string[] = [];
  for (const [notes, where, wantedSymbols, wantedTechniques] of list) {
    const { readings, technique } = nameNotes(notesOf(notes), contextOf(where));
    const symbol = readings[0]?.symbol ?? '';
    if (!wantedSymbols.includes(symbol))
      symbols.push(`${notes}: ${symbol} for ${wantedSymbols[0]}`);
    if (!wantedTechniques.includes(technique.id)) {
      techniques.push(`${notes}: ${technique.label} for ${wantedTechniques[0]}`);
    }
  }
  return { symbols, techniques };
}

describe('grips', () => {
  test('are read and named as a teacher would', () => {
    const { symbols, techniques } = misnamed(grips);
    expect(techniques).toEqual([]);
    // Stacks without a root, which nothing but a key or the chord before could tell.
    expect(symbols).toEqual([
      'G3 C#4 F#4 B4 E5: Em6/9/G for A13/G',
      'G#3 D4 G4 C5: Abmaj7(#11) for E7alt/G#',
    ]);
  });

  test('those written apart are, too, but for one in ten', () => {
    const { symbols, techniques } = misnamed(apart);
    const most = apart.length / 10;
    expect(symbols.length, symbols.join('\n')).toBeLessThanOrEqual(most);
    expect(techniques.length, techniques.join('\n')).toBeLessThanOrEqual(most);
  });
});
