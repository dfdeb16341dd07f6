import { describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { type Engraving, type EngravingWish, engrave } from '../../src/io/engrave.ts';
import { engraveApart } from '../../src/io/engrave-apart.ts';
import { withPlainGlyphs } from '../../src/io/plain-glyphs.ts';
import { toMusicXml } from '../../src/take/musicxml.ts';
import { bundle } from '../helpers/bundle.ts';
import { chordOf, odd, plain } from '../take/progressions.ts';

async function picture(progression: typeof plain, wish: EngravingWish): Promise<Engraving> {
  const result = await engrave(toMusicXml(progression, { isForEngraver: true }), wish);
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

const long = {
  ...plain,
  chords: Array.from({ length: 120 }, (_, bar) =>
    chordOf(bar * 96, 96, 'Eb6/9', ['Eb2', 'G3', 'C4', 'F4']),
  ),
};

test('a picture a page, without a complaint, and the same again', async () => {
  const { pages, warnings } = await picture(odd, { paper: 'A4' });
  expect([pages.length, warnings]).toEqual([1, '']);
  expect((await picture(odd, { paper: 'A4' })).pages).toEqual(pages);
  const text = (pages[0] ?? '').replace(/<[^>]+>|\s+/g, '');
  for (const words of ['N.C.', 'D\\C', 'closeposition']) expect(text).toContain(words);
}, 60_000);

test('a title stands clear of the first chord symbols', async () => {
  const [page = ''] = (await picture(plain, { paper: 'A4' })).pages;
  const y = (pattern: RegExp) => Number(pattern.exec(page)?.[1]);
  const title = y(/class="pgHead[\s\S]*?<tspan[^>]* y="(\d+)"/);
  const letter = y(/class="harm"[\s\S]*?font-size="(\d+)px">/);
  const symbol = y(/class="harm"[\s\S]*?<text[^>]* y="(\d+)"/);
  // Another line of the symbols' size would have room between them.
  expect(symbol - letter - title).toBeGreaterThan(letter);
}, 60_000);

test('stands without a font of its own: accidentals and the tempo in signs any viewer has', async () => {
  for (const progression of [plain, odd]) {
    const [page = ''] = (await picture(progression, { paper: 'A4' })).pages;
    expect(page).not.toMatch(/[\u{E000}-\u{F8FF}]|@font-face/u);
    expect(page).toContain('♩');
  }
  const [page = ''] = (await picture(plain, { paper: 'A4' })).pages;
  expect(page.replace(/<[^>]+>|\s+/g, '')).toMatch(/E♭6\/9.*Cm7\(add11\).*C7\(♯9\)/);
}, 60_000);

test('a letter of the music font that has no sign keeps the font', () => {
  const style = '<style>@font-face {font-family: x;}</style>';
  const strange = `${style}<tspan font-family="Leipzig" font-size="720px">\u{E000}</tspan>`;
  expect(withPlainGlyphs(strange)).toBe(strange);
});

test('a long tune takes several pages, each as tall as the paper', async () => {
  const sizes = { A4: 2970 / 2100, letter: 2794 / 2159 } as const;
  for (const paper of ['A4', 'letter'] as const) {
    const { pages } = await picture(long, { paper });
    expect(pages.length).toBeGreaterThan(1);
    for (const page of pages) {
      const [, width, height] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(page) ?? [];
      expect(Number(height) / Number(width)).toBeCloseTo(sizes[paper], 1);
    }
  }
}, 60_000);

test('as strips, one for each line of four bars', async () => {
  const { pages } = await picture(long, { paper: 'A4', isStrip: true });
  expect(pages).toHaveLength(30);
  const xml = pages.slice(0, 2).map((contents, place) => ({ fileName: `${place}.svg`, contents }));
  const anything =
    '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/2000/svg"><xs:element name="svg"/></xs:schema>';
  const { errors } = await validateXML({ xml, schema: [anything] });
  expect(errors.map(({ message }) => message)).toEqual([]);
}, 60_000);

test('what is no score is refused in a sentence', async () => {
  const result = await engrave('no score at all', { paper: 'A4' });
  expect(result.ok ? '' : result.problem).toMatch(/^The score cannot be engraved: .+\.$/);
}, 60_000);

describe('in a process of its own', () => {
  const xml = toMusicXml(plain, { isForEngraver: true });
  const wish = { paper: 'A4' } as const;
  const program = bundle('src/io/engraver.ts', 'engraver');

  test('the picture is the same', async () => {
    expect(await engraveApart(xml, wish, [program])).toEqual(await engrave(xml, wish));
  }, 60_000);

  test('what is no score is refused in the same sentence', async () => {
    const apart = await engraveApart('no score', wish, [program]);
    expect(apart).toEqual(await engrave('no score', wish));
  }, 60_000);

  test('where memory is short the engraver may die, and that is said', async () => {
    const starved = toMusicXml(long, { isForEngraver: true });
    const result = await engraveApart(starved, wish, ['--max-old-space-size=8', program]);
    expect(result.ok ? '' : result.problem).toMatch(
      /^The score cannot be engraved: the engraver stopped \(SIG[A-Z]+\), as it does where memory is short; .+\.$/,
    );
  }, 60_000);
});
