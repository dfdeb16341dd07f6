/**
 * A progression as MusicXML 4.0: one part on two staves, chord symbols above, labels below where
 * they change. The same progression gives the same text.
 *
 * Source: MusicXML 4.0 (W3C Music Notation Community Group, 2021); the order of elements is the
 * schema's.
 */
import { measure } from './measure.ts';
import type { Progression } from './progression.ts';
import { layOut, type ScoreLayout, type Section } from './score-layout.ts';
import { element, formatXml, type Xml } from './xml.ts';

const head =
  '<?xml version="1.0" encoding="UTF-8"?>\n' +
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';

export type MusicXmlOptions = {
  /**
   * For a picture: chord symbols are their text and nothing to compute with, which some engravers
   * would print beside it.
   */
  readonly isForEngraver?: boolean;
};

export function toMusicXml(progression: Progression, options: MusicXmlOptions = {}): string {
  return [...musicXmlPieces(layOut(progression), options)].join('');
}

/**
 * The text piece by piece, a bar each, since a long score is longer than a string can be.
 * @param section those bars alone: a score of its own that begins with clefs, key and metre.
 */
export function* musicXmlPieces(
  layout: ScoreLayout,
  { isForEngraver = false }: MusicXmlOptions = {},
  section?: Section,
): Generator<string, void> {
  const { from, to } = section ?? { from: 0, to: layout.bars.length };
  const before =
    from === 0
      ? preamble(layout.progression, isForEngraver)
      : [element('part-list', {}, partHead())];
  yield head;
  yield '<score-partwise version="4.0">\n';
  for (const xml of before) yield formatXml(xml, ' ');
  yield ' <part id="P1">\n';
  for (let place = from; place < to; place += 1) {
    const isLast = place === layout.bars.length - 1;
    yield formatXml(
      measure(layout, place, { isFirst: place === from, isLast, isForEngraver }),
      '  ',
    );
  }
  yield ' </part>\n</score-partwise>\n';
}

/** What stands before the part. */
function preamble(
  { title, grid, composer = '', style = '' }: Progression,
  isForEngraver: boolean,
): readonly Xml[] {
  const made = element('encoding', {}, element('software', {}, 'Handspan'));
  const fields = [
    ...(grid === '' ? [] : [['quantised to', grid] as const]),
    ...(style === '' ? [] : [['style', style] as const]),
  ].map(([name, text]) => element('miscellaneous-field', { name }, text));
  return [
    ...(title === '' ? [] : [element('work', {}, element('work-title', {}, title))]),
    element(
      'identification',
      {},
      ...(composer === '' ? [] : [element('creator', { type: 'composer' }, composer)]),
      made,
      ...(fields.length === 0 ? [] : [element('miscellaneous', {}, ...fields)]),
    ),
    ...(isForEngraver && composer !== '' ? credits(title, composer) : []),
    element('part-list', {}, partHead()),
  ];
}

/** Where the engraver finds the composer; with credits it takes the title from them too. */
function credits(title: string, composer: string): readonly Xml[] {
  const credit = (type: string, style: Readonly<Record<string, string>>, text: string) =>
    element(
      'credit',
      { page: '1' },
      element('credit-type', {}, type),
      element('credit-words', style, text),
    );
  return [
    ...(title === '' ? [] : [credit('title', { justify: 'center', valign: 'top' }, title)]),
    credit('composer', { justify: 'right', valign: 'bottom' }, composer),
  ];
}

/**
 * An instrument that notation programs know by its name, its MusicXML 4.0 sound and its General MIDI
 * program (1, Acoustic Grand Piano), so that the score plays as written for a keyboard.
 */
function partHead(): Xml {
  const id = 'P1-I1';
  return element(
    'score-part',
    { id: 'P1' },
    element('part-name', { 'print-object': 'no' }, 'Piano'),
    element(
      'score-instrument',
      { id },
      element('instrument-name', {}, 'Piano'),
      element('instrument-sound', {}, 'keyboard.piano'),
    ),
    element(
      'midi-instrument',
      { id },
      element('midi-channel', {}, '1'),
      element('midi-program', {}, '1'),
    ),
  );
}
