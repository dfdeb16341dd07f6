/**
 * What stands above and below the staves where a chord begins: its symbol, and its label where that
 * is another one than before.
 */
import { parseSymbol } from '../harmony/parse-symbol.ts';
import { harmonyElements } from './harmony-element.ts';
import type { ProgressionChord } from './progression.ts';
import { element, type Xml } from './xml.ts';

/** Elements to put before a note; `offset`: ticks from the beginning of that note. */
export type Sign = { readonly tick: number; readonly elements: (offset: number) => readonly Xml[] };

/** @param first the chord before these. */
export function signsOf(
  chords: readonly ProgressionChord[],
  first: ProgressionChord | undefined,
  isForEngraver: boolean,
): readonly Sign[] {
  return chords.map((chord, place) => {
    const before = place === 0 ? first : chords[place - 1];
    const isNew = chord.notes.length > 0 && chord.label !== before?.label;
    // Two short lines rather than a long one: the next label may stand a bar further.
    // The engraver lets words touch: a hard space behind each line keeps two labels apart.
    const label = isForEngraver
      ? `${printed(chord.label).replace(/ (?=(?:with|over) )/g, '\u00a0\n')}\u00a0`
      : chord.label;
    const symbol = isForEngraver ? engravedSymbol : computedSymbol;
    return {
      tick: chord.tick,
      elements: (offset) => [
        ...symbol(chord, offset),
        ...(isNew ? [words(label, 'below', '2', offset, labelStyle)] : []),
      ],
    };
  });
}

const labelStyle = { 'font-style': 'italic' };
/** Words are slanted by some engravers, symbols never. */
const symbolStyle = { 'font-style': 'normal' };

function moved(offset: number): Xml[] {
  return offset === 0 ? [] : [element('offset', {}, String(offset))];
}

/** What sounds, or where that has no name what was written or heard. */
function computedSymbol({ sounds, symbol }: ProgressionChord, offset: number): Xml[] {
  const sounding = harmonyElements(sounds);
  return (sounding.length > 0 ? sounding : harmonyElements(symbol)).map((xml) => ({
    ...xml,
    children: [...xml.children, ...moved(offset), element('staff', {}, '1')],
  }));
}

function engravedSymbol(chord: ProgressionChord, offset: number): Xml[] {
  const text = chord.sounds === '' ? chord.symbol : chord.sounds;
  const parsed = parseSymbol(text);
  if (!parsed.ok || parsed.value.lower !== undefined) {
    return text === '' ? [] : [words(printed(text), 'above', '1', offset, symbolStyle)];
  }
  return computedSymbol(chord, offset).map((xml) => ({
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
