/**
 * A chord symbol as MusicXML's <harmony>: root, kind, the degrees that differ from what the kind
 * means, bass. The kind's text is the symbol as Handspan writes it, so that readers print that and
 * compute with the rest.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021), harmony.
 */

import { isDegree } from '../harmony/pitch/degree.ts';
import type { SpelledPitchClass } from '../harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../harmony/symbol/chord-symbol.ts';
import { degreeChanges, musicXmlKinds } from '../harmony/symbol/musicxml-kinds.ts';
import { parseSymbol, saysNoChord } from '../harmony/symbol/parse-symbol.ts';
import { element, type Xml } from './xml.ts';

/** Elements to stand where the chord begins; none for text that is no chord symbol. */
export function harmonyElements(text: string, isOptional = false): readonly Xml[] {
  if (text.trim() === '') return [];
  const parsed = parseSymbol(text);
  if (!parsed.ok) return saysNoChord(text) ? [silence(text)] : [];
  const attributes = parsed.value.lower === undefined ? {} : { arrangement: 'vertical' };
  const level = isOptional ? [element('level', { parentheses: 'yes' }, 'optional')] : [];
  return [element('harmony', attributes, ...chordsOf(parsed.value), ...level)];
}

/** For programs that read on: the chord before ends here, and nothing is printed. */
export function hiddenSilence(): Xml {
  return { ...silence('N.C.'), attributes: { 'print-object': 'no' } };
}

function silence(text: string): Xml {
  return element(
    'harmony',
    {},
    element('root', {}, element('root-step', { text: '' }, 'C')),
    element('kind', { text: text.trim() }, 'none'),
  );
}

function chordsOf({ root, type, bass, lower }: ChordSymbol): readonly Xml[] {
  const changes = degreeChanges(type.kind, type.degrees.filter(isDegree));
  const own = [
    element('root', {}, ...pitchClass('root', root)),
    element('kind', { text: type.symbol }, type.kind in musicXmlKinds ? type.kind : 'other'),
    ...(bass === undefined ? [] : [element('bass', {}, ...pitchClass('bass', bass))]),
    ...changes.map(({ value, alter, type: how }) =>
      element(
        'degree',
        { 'print-object': 'no' },
        element('degree-value', {}, String(value)),
        element('degree-alter', {}, String(alter)),
        element('degree-type', {}, how),
      ),
    ),
  ];
  return lower === undefined ? own : [...own, ...chordsOf(lower)];
}

const letters = 'CDEFGAB';

function pitchClass(name: 'root' | 'bass', { letter, accidental }: SpelledPitchClass): Xml[] {
  const step = element(`${name}-step`, {}, letters[letter] ?? 'C');
  if (accidental === 0) return [step];
  return [step, element(`${name}-alter`, {}, String(accidental))];
}
