/**
 * What stands above and below the staves where a chord begins: its symbol, as written or as it
 * sounds; below, on asking, its numeral and what sounds, and its label where that is another one than
 * before.
 */
import { functionName } from '../harmony/key/numeral.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import { isLabelNew, labelLines, labelWidths } from './engraved-label.ts';
import { harmonyElements, hiddenSilence } from './harmony-element.ts';
import {
  keyAt,
  type Progression,
  type ProgressionChord,
  plainManner,
  type ScoreManner,
} from './progression.ts';
import { element, type Xml } from './xml.ts';

/** Elements to put before a note; `offset`: ticks from the beginning of that note. */
export type Sign = { readonly tick: number; readonly elements: (offset: number) => readonly Xml[] };

/** @param first the chord before these. */
export function signsOf(
  chords: readonly ProgressionChord[],
  first: ProgressionChord | undefined,
  progression: Pick<Progression, 'manner' | 'key' | 'keys' | 'player'>,
  isForEngraver: boolean,
): readonly Sign[] {
  const { manner = plainManner } = progression;
  const symbol = isForEngraver ? engravedSymbol : computedSymbol;
  const lowestStaff = progression.player === undefined ? '2' : '1';
  const widths = labelWidths(chords, first);
  return chords.map((chord, place) => {
    const isNew = isLabelNew(chord, place === 0 ? first : chords[place - 1]);
    const above = aboveOf(chord, manner);
    const lines = [
      manner.hasNumerals ? functionName(chord.symbol, keyAt(progression, chord.tick)).numeral : '',
      manner.symbols === 'both' && chord.sounds !== chord.symbol ? chord.sounds : '',
    ].filter((text) => text !== '');
    const below = (isForEngraver ? engravedBelow : computedBelow)(lines, isNew ? chord.label : '');
    return {
      tick: chord.tick,
      elements: (offset) => [
        ...(isForEngraver ? [] : chosenFor(chord, offset)),
        ...(chord.isSameSymbol === true ? [] : symbol(chord, above, offset)).map((xml) =>
          isForEngraver ? asWideAs(widths[place] ?? 0, xml) : xml,
        ),
        ...below.map(([text, style]) => words(text, 'below', lowestStaff, offset, style)),
      ],
    };
  });
}

/** Printed by no one: read back with the symbol, so that the score is the same chart again. */
function chosenFor({ chosen = '' }: ProgressionChord, offset: number): readonly Xml[] {
  if (chosen === '') return [];
  const type = element('other-direction', { 'print-object': 'no' }, chosen);
  return [
    element(
      'direction',
      {},
      element('direction-type', {}, type),
      ...moved(offset),
      element('staff', {}, '1'),
    ),
  ];
}

type Styled = readonly [text: string, style: Readonly<Record<string, string>>];

function computedBelow(lines: readonly string[], label: string): readonly Styled[] {
  return [
    ...lines.map((text): Styled => [text, symbolStyle]),
    ...(label === '' ? [] : [[label, labelStyle] as const]),
  ];
}

/** The symbol above the staves: what sounds, or where that has no name what was written or heard. */
function aboveOf({ sounds, symbol }: ProgressionChord, { symbols }: ScoreManner): string {
  return symbols === 'sounding' && sounds !== '' ? sounds : symbol;
}

/** The engraver lets words touch: hard spaces behind each line keep two of them apart. */
function engravedBelow(lines: readonly string[], label: string): readonly Styled[] {
  const apart = (some: readonly string[]) =>
    some.map((line) => `${printed(line)}\u00a0\u00a0`).join('\n');
  return [
    ...(lines.length === 0 ? [] : [[apart(lines), symbolStyle] as const]),
    ...(label === '' ? [] : [[apart(labelLines(label)), labelStyle] as const]),
  ];
}

/** Hard spaces to a letter, of the engraver's font. */
const spacesInLetter = 1.8;
/** 'C' at the least. */
const rootLetters = 1;

/**
 * The engraver keeps symbols apart and not the words below: a symbol as wide as its label keeps that
 * apart from the next as well, and the chords of a line, with a new label or not, stand evenly.
 */
function asWideAs(letters: number, xml: Xml): Xml {
  if (xml.name !== 'harmony') return xml;
  const bass = xml.children.find((child) => isNamed(child, 'bass'));
  const under = bass === undefined ? '' : `/${printed(pitchText(bass))}`;
  const children = xml.children
    .filter((child) => !isNamed(child, 'bass'))
    .map((child) => {
      if (!isNamed(child, 'kind')) return child;
      const text = `${child.attributes['text'] ?? ''}${under}`;
      const missing = Math.max(0, letters - rootLetters - text.length);
      const spaces = '\u00a0'.repeat(Math.ceil(missing * spacesInLetter));
      return { ...child, attributes: { ...child.attributes, text: `${text}${spaces}` } };
    });
  return { ...xml, children };
}

/** 'Bb' of a bass. */
function pitchText({ children }: Xml): string {
  const [step, alter] = ['bass-step', 'bass-alter'].map((name) => {
    const found = children.find((child) => isNamed(child, name));
    return found?.children.join('') ?? '';
  });
  const accidental = Number(alter || 0);
  return `${step}${(accidental < 0 ? 'b' : '#').repeat(Math.abs(accidental))}`;
}

const labelStyle = { 'font-style': 'italic' };
/** Words are slanted by some engravers, symbols never. */
const symbolStyle = { 'font-style': 'normal' };

function moved(offset: number): Xml[] {
  return offset === 0 ? [] : [element('offset', {}, String(offset))];
}

function computedSymbol(
  { isOptional = false, isRest = false }: ProgressionChord,
  text: string,
  offset: number,
): Xml[] {
  const silence = isRest ? [hiddenSilence()] : [];
  return [...harmonyElements(text, isOptional), ...silence].map((xml) => ({
    ...xml,
    children: withPlace(xml, [...moved(offset), element('staff', {}, '1')]),
  }));
}

/** Behind what the schema has before offset and staff. */
function withPlace({ children }: Xml, place: readonly Xml[]): readonly (Xml | string)[] {
  const level = children.filter((child) => isNamed(child, 'level'));
  const rest = children.filter((child) => !isNamed(child, 'level'));
  const [offset, staff] = [
    place.filter(({ name }) => name === 'offset'),
    place.filter(({ name }) => name === 'staff'),
  ];
  return [...rest, ...offset, ...level, ...staff];
}

function engravedSymbol(chord: ProgressionChord, text: string, offset: number): Xml[] {
  const parsed = parseSymbol(text);
  const isWords = !parsed.ok || parsed.value.lower !== undefined || chord.isOptional === true;
  if (isWords) {
    const shown = chord.isOptional === true ? `(${printed(text)})` : printed(text);
    return text === '' ? [] : [words(shown, 'above', '1', offset, symbolStyle)];
  }
  return computedSymbol({ ...chord, isRest: false }, text, offset).map((xml) => ({
    ...xml,
    children: xml.children.filter((child) => !isNamed(child, 'degree')).map(withPrintedKind),
  }));
}

function isNamed(child: Xml | string, name: string): child is Xml {
  return typeof child !== 'string' && child.name === name;
}

function withPrintedKind(child: Xml | string): Xml | string {
  if (!isNamed(child, 'kind')) return child;
  const { text = '' } = child.attributes;
  return { ...child, attributes: { ...child.attributes, text: printed(text) } };
}

/** Accidentals as printed music has them; 'Bb7(#9)' keeps the letter of its root. */
function printed(text: string): string {
  return text.replaceAll('#', '♯').replace(/b(?=\d)|(?<=[A-G])b|(?<![A-Za-z])b(?=[ivIV])/g, '♭');
}

function words(
  text: string,
  placement: 'above' | 'below',
  staff: '1' | '2',
  offset: number,
  style: Readonly<Record<string, string>>,
): Xml {
  return element(
    'direction',
    { placement },
    element('direction-type', {}, element('words', style, text)),
    ...moved(offset),
    element('staff', {}, staff),
  );
}
