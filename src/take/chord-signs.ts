/**
 * What stands above and below the staves where a chord begins: its symbol, as written or as it
 * sounds; below, on asking, its numeral and what sounds, and its label where that is another one than
 * before.
 */
import { functionName } from '../harmony/numeral.ts';
import { parseSymbol } from '../harmony/parse-symbol.ts';
import { harmonyElements, hiddenSilence } from './harmony-element.ts';
import {
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
  { manner = plainManner, key }: Pick<Progression, 'manner' | 'key'>,
  isForEngraver: boolean,
): readonly Sign[] {
  const symbol = isForEngraver ? engravedSymbol : computedSymbol;
  return chords.map((chord, place) => {
    const before = place === 0 ? first : chords[place - 1];
    const isNew = chord.notes.length > 0 && chord.label !== before?.label;
    const above = aboveOf(chord, manner);
    const lines = [
      manner.hasNumerals ? functionName(chord.symbol, key).numeral : '',
      manner.symbols === 'both' && chord.sounds !== chord.symbol ? chord.sounds : '',
    ].filter((text) => text !== '');
    const below = (isForEngraver ? engravedBelow : computedBelow)(lines, isNew ? chord.label : '');
    return {
      tick: chord.tick,
      elements: (offset) => [
        ...symbol(chord, above, offset),
        ...below.map(([text, style]) => words(text, 'below', '2', offset, style)),
      ],
    };
  });
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

/**
 * Two short lines rather than a long one: the next label may stand a bar further. The engraver lets
 * words touch: a hard space behind each line keeps two labels apart.
 */
function engravedBelow(lines: readonly string[], label: string): readonly Styled[] {
  const plain = lines.map((text) => `${printed(text)}\u00a0`);
  const broken = `${printed(label).replace(/ (?=(?:with|over) )/g, '\u00a0\n')}\u00a0`;
  return [
    ...(plain.length === 0 ? [] : [[plain.join('\n'), symbolStyle] as const]),
    ...(label === '' ? [] : [[broken, labelStyle] as const]),
  ];
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
  return text.replaceAll('#', '♯').replace(/b(?=\d)|(?<=[A-G])b/g, '♭');
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
