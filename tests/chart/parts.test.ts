/** Charts given out to players: everybody in range, in order, and what cannot be met is said. */
import { describe, expect, test } from 'vitest';
import { partLines } from '../../src/chart/parts/part-lines.ts';
import type { ToldParts } from '../../src/chart/parts/part-report.ts';
import { formatSymbol } from '../../src/harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { leftOut } from '../../src/voicing/left-out.ts';
import { type StrategyId, strategyIds } from '../../src/voicing/voicing.ts';
import { isShortRound } from '../helpers/round.ts';
import { plainManner as plain, toldFor as told, type PlayersWish as Wish } from './told-parts.ts';

/** Of each player a line of names, '-' for rests, '()' around doublings. */
function linesOf({ voiced, parts }: ToldParts): readonly string[] {
  return partLines(voiced, parts).map(({ player, chords }) => {
    const names = chords.map((notes) =>
      notes.map(({ name, isDoubling }) => (isDoubling ? `(${name})` : name)).join('/'),
    );
    return `${player.name}: ${names.map((name) => name || '-').join(' ')}`;
  });
}

const tune = '| Ebmaj7 | Cm7 F7 | Fm7 | Bb7 | Gm7b5 C7b9 | Fm7 Bb7 | Ebmaj7 | Eb6 |';

const excerpt = '| Ebmaj7 | Cm7 F7 | Gm7b5 C7b9 | Fm7 Bb7 |';

/** In another key, each symbol with its own letter. */
function transposed(semitones: number, text: string): string {
  return text.replace(/[A-G][^\s|]*/g, (symbol) => {
    const parsed = parseSymbol(symbol);
    if (!parsed.ok) throw new Error(symbol);
    const { root } = parsed.value;
    const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
    const pitch = ([0, 2, 4, 5, 7, 9, 11][root.letter] ?? 0) + root.accidental;
    const name = names[(pitch + semitones + 24) % 12] ?? 'C';
    return formatSymbol(parsed.value).replace(/^[A-G][b#]*/, name);
  });
}

const keys = ['Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B', 'C', 'Db', 'D'];
const ensembles = ['strings', 'brass', 'saxes', 'choir', 'guitar'];

/** In range, in order without crossings or unisons, as written and as it sounds. */
function checkRanges({ parts, lines }: ToldParts, slot: string): void {
  for (const given of parts.given) {
    let below = Number.NEGATIVE_INFINITY;
    given.forEach((each, part) => {
      if (each === undefined) return;
      const { lowest = 0, highest = 0 } = parts.ensemble.parts[part]?.range ?? {};
      expect(each.note, slot).toBeGreaterThanOrEqual(lowest);
      expect(each.note, slot).toBeLessThanOrEqual(highest);
      expect(each.note, slot).toBeGreaterThan(below);
      below = each.note;
    });
  }
  for (const { player, chords } of lines) {
    const letterOf = (named: string) => named.replace(/-?\d+$/, '');
    for (const { written, inScore, note, name } of chords.flat()) {
      expect(written.midi + player.instrument.transposition.chromatic, slot).toBe(note);
      expect((inScore.midi - note) % 12, slot).toBe(0);
      // A score at concert pitch says what the symbols do: the third of Dbm is an Fb.
      expect(letterOf(inScore.name), slot).toBe(letterOf(name));
      // A chord on one staff keeps the letters of its harmony.
      if (player.instrument.strings === undefined) {
        expect(written.name, slot).not.toMatch(/bb|##/);
      }
    }
  }
}

describe('the parts of a chart', () => {
  test('a quartet of winds has a drop 2 voicing, the lowest part lowest', () => {
    expect(linesOf(told(tune, 'trumpet, alto sax, tenor sax, trombone'))).toEqual([
      'Trumpet: D5 C5 C5 C5 Bb4 Bb4 Bb4 Ab4 Ab4 G4 G4',
      'Alto sax: G4 G4 F4 F4 F4 F4 E4 Eb4 D4 D4 C4',
      'Tenor sax: Eb4 Eb4 Eb4 Eb4 D4 Db4 Db4 C4 Bb3 Bb3 Bb3',
      'Trombone: Bb3 Bb3 A3 Ab3 Ab3 G3 G3 F3 F3 Eb3 Eb3',
    ]);
  });

  test('every note of every strategy in every key lies in the range of its player', () => {
    const cases = strategyIds.flatMap((strategy, row) =>
      ensembles.flatMap((ensemble, column) =>
        keys.flatMap((key, semitones) => {
          // In the short round each strategy meets one ensemble in one key; in the long one each meets
          // every ensemble and every key, and each ensemble every key: a third of all there are.
          const isTaken = isShortRound
            ? column === row % 5 && semitones === (row * 7) % 12
            : (row + column + semitones) % 3 === 0;
          return isTaken ? [{ strategy, ensemble, key, semitones }] : [];
        }),
      ),
    );
    expect(cases.length).toBeGreaterThanOrEqual(strategyIds.length);
    for (const { strategy, ensemble, key, semitones } of cases) {
      const text = transposed(semitones, excerpt);
      checkRanges(told(text, ensemble, { strategy, key }), `${strategy}, ${ensemble}, ${key}`);
    }
  }, 600_000);

  test('a sixth under a melody on the root is said to stand for the written seventh', () => {
    const { remarks } = told('| Bbmaj7@Bb4 | Gm7@Bb4 |', 'saxes', { key: 'Bb' });
    expect(remarks.map(({ text }) => text)).toContain(
      'The 6th stands for the written 7 under a melody on the root: A of Bbmaj7 (1.1)',
    );
  });

  test('fewer players than voices: the fifth goes first, then the root; guide tones stay', () => {
    const { lines, remarks } = told('| Cmaj7 | Dm7 | G13 | C6 |', 'trumpet, trombone', {
      key: 'C',
    });
    const degrees = (place: number) => lines.map(({ chords }) => chords[place]?.[0]?.degree);
    expect(new Set(degrees(1))).toEqual(new Set(['b3', 'b7']));
    const text = remarks.map((remark) => remark.text).join('\n');
    expect(text).toContain('The fifth is left out for want of players');
    expect(text).not.toContain('The third');
  });

  test('where five players of fourths have no third, none of them doubles another and it is said', () => {
    const players = 'trumpet, alto sax, tenor sax, trombone, baritone sax';
    const families =
      '| Fm7 | Bb7 | Eb6/9 | Eb6 | Ebmaj7 | Abmaj9 | Cm7 | F13 | Fm11 | Bbm6 | Cm9 |';
    let whole = 0;
    keys.forEach((key, semitones) => {
      const text = transposed(semitones, families);
      const { voiced, lines, remarks } = told(text, players, { strategy: 'fourths', key });
      const said = remarks.map((remark) => remark.text).join('\n');
      voiced.chords.forEach(({ chord }, place) => {
        const degrees = lines.map(({ chords }) => chords[place]?.[0]?.degree);
        const third = /^[A-G][b#]?m(?!aj)/.test(chord.text) ? 'b3' : '3';
        if (degrees.includes(third)) {
          whole += 1;
          return;
        }
        expect(new Set(degrees).size, `${chord.text}: ${degrees}`).toBe(5);
        expect(said).toContain(`The written ${third} does not sound`);
      });
    });
    expect(whole).toBeGreaterThan(12 * 8);
  }, 20_000);

  test('what of a symbol nobody has is said, with its place', () => {
    for (const strategy of strategyIds) {
      const { voiced, remarks } = told(
        '| Fm7 | Bb13 | Ebmaj9 | C7#9 | Abm6/9 |',
        'trumpet, trombone',
        {
          strategy,
        },
      );
      const text = remarks.map((remark) => remark.text).join('\n');
      for (const { chord, sounding } of voiced.chords) {
        if (sounding === undefined) throw new Error(chord.text);
        for (const degree of leftOut(sounding.voicing, sounding.harmony, 'written')) {
          const where = `The written ${degree} does not sound: .*${chord.text} \\(${chord.bar}.1\\)`;
          expect(text, `${strategy} ${chord.text}`).toMatch(new RegExp(where));
        }
      }
    }
  }, 20_000);

  test('which tone is left out, doubled or has no bass under it is said with its chord and players', () => {
    const said = (text: string, players: string, strategy: StrategyId, key = 'C') =>
      told(text, players, { strategy, key }).remarks.map((remark) => remark.text);
    const changes = '| Ebmaj7 | Cm7 F7 | Fm7 Bb7b9 | Ebmaj7 | Cm7 |';
    expect(said(changes, 'trumpet, alto sax, tenor sax', 'spread', 'Eb')).toEqual([
      'Built with one voice more than asked for: Bb7b9 (3.3)',
      'The seventh is left out for want of players: Ab of Bb7b9 (3.3)',
    ]);
    expect(said('| Cm7 | Ab7 | Cm7 |', 'trumpet, trombone', 'drop-2', 'Eb')).toContain(
      'The fifth is left out for want of players: G of Cm7 (1.1, 3.1), Eb of Ab7 (2.1)',
    );
    const over = said('| C/E | G7@B5 | G7/B | Dm7/G |', 'saxes', 'rootless');
    expect(over).toContainEqual(
      expect.stringMatching(
        /^The bass behind the slash does not lie lowest: .*G of Dm7\/G \(4\.1\)/u,
      ),
    );
    // A leading tone twice, whoever has it.
    for (const strategy of strategyIds) {
      const { voiced, lines, remarks } = told('| G7@B4 | G7/B | Bb7b9 | C6 |', 'saxes', {
        strategy,
      });
      const text = remarks.map((remark) => remark.text).join('\n');
      voiced.chords.forEach(({ chord, sounding }, place) => {
        if (!sounding?.relaxed.includes('leading tone')) return;
        const has = lines.filter(({ chords }) =>
          chords[place]?.some(({ degree }) => degree === '3'),
        );
        const who = has.map(({ player }) => player.name).join(' and ');
        if (has.length > 1) expect(text).toContain(`${chord.text} (${chord.bar}.1: ${who})`);
      });
    }
  }, 20_000);

  test('more players than voices: octaves are doubled, and the lead stays on top', () => {
    const { parts, voiced } = told(tune, 'saxes', { strategy: 'rootless' });
    parts.given.forEach((given, place) => {
      const top = voiced.chords[place]?.sounding?.voicing.notes.at(-1);
      expect(given.findLast((each) => each !== undefined)?.note).toBe(top);
    });
    expect(parts.given.some((given) => given.some((each) => each?.isDoubling))).toBe(true);
  });

  test('unisons only where they are allowed', () => {
    const strict = told(tune, '6 violins', { strategy: 'shell' });
    const free = told(tune, '6 violins', {
      strategy: 'shell',
      manner: { ...plain, areUnisonsAllowed: true },
    });
    const hasUnison = ({ parts }: ToldParts) =>
      parts.given.some((given) => {
        const notes = given.flatMap((each) => each?.note ?? []);
        return new Set(notes).size < notes.length;
      });
    expect(hasUnison(strict)).toBe(false);
    expect(hasUnison(free)).toBe(true);
    expect(strict.remarks.map(({ text }) => text).join()).toContain('rests at');
    expect(free.remarks.map(({ text }) => text).join()).not.toContain('rests at');
  });

  test('a crossing only where it is allowed, and then only for a smoother line', () => {
    const manner = { ...plain, areCrossingsAllowed: true };
    const lineMotion = ({ lines }: ToldParts) =>
      lines
        .flatMap(({ chords }) => {
          const notes = chords.flatMap(([first]) => first?.note ?? []);
          return notes.slice(1).map((note, place) => Math.abs(note - (notes[place] ?? 0)));
        })
        .reduce((sum, each) => sum + each, 0);
    const wish: Wish = { strategy: 'cluster' };
    const strict = told(tune, 'strings', wish);
    const free = told(tune, 'strings', { ...wish, manner });
    expect(lineMotion(free)).toBeLessThanOrEqual(lineMotion(strict));
  });

  test('what is written once is played alike each time', () => {
    const { lines } = told('|: Cm7 | F7 :| Bbmaj7 | Cm7 |', 'saxes', { strategy: 'shell' });
    for (const { chords } of lines) expect(chords.slice(0, 2)).toEqual(chords.slice(2, 4));
  });

  test('effort, leaps and breath are said with their place', () => {
    const { remarks } = told('| Cm7 | % | % | % | % | % | % | % | % | % | % | % |', 'saxes');
    expect(remarks.map(({ text }) => text).join('\n')).toContain('There is no rest for 24 seconds');
    const strings = told('| Cm7 | % | % | % | % | % | % | % | % | % | % | % |', 'strings');
    expect(strings.remarks.map(({ text }) => text).join('\n')).not.toContain('breathe');
  });
});
