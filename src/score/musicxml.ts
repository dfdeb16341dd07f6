/**
 * A progression as MusicXML 4.0: one part on two staves, chord symbols above, labels below where
 * they change; where other treatments of it stand below, or it is written for players, a part for each. The same progression gives
 * the same text.
 *
 * Source: MusicXML 4.0 (W3C Music Notation Community Group, 2021); the order of elements is the
 * schema's.
 */
import { measure } from './measure.ts';
import { bracketed, channelOfPart, type PlayerPart, scorePart } from './player-part.ts';
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
  const parts = [layout, ...layout.below];
  const list = partList(parts);
  const before = from === 0 ? [...preamble(layout.progression, isForEngraver), list] : [list];
  yield head;
  yield '<score-partwise version="4.0">\n';
  for (const xml of before) yield formatXml(xml, ' ');
  for (const [part, own] of parts.entries()) {
    yield ` <part id="${partId(part)}">\n`;
    for (let place = from; place < to; place += 1) {
      const isLast = place === own.bars.length - 1;
      const manner = { isFirst: place === from, isLast, isForEngraver, part };
      yield formatXml(measure(own, place, manner), '  ');
    }
    yield ' </part>\n';
  }
  yield '</score-partwise>\n';
}

function partId(part: number): string {
  return `P${part + 1}`;
}

/** Treatments below each other are numbered, so that each line says which is which. */
function partList(parts: readonly ScoreLayout[]): Xml {
  const areSeveral = parts.length > 1;
  const heads = parts.map(({ progression: { player, name = '' } }, part) =>
    player === undefined
      ? partHead(partId(part), areSeveral ? `${part + 1} ${name}`.trim() : '')
      : playerHead(part, player),
  );
  const families = parts.map(({ progression }, part) => progression.player?.family ?? `${part}`);
  return element('part-list', {}, ...bracketed(heads, families));
}

/** A part by itself has its name at its head, a score beside each staff. */
function playerHead(part: number, player: PlayerPart): Xml {
  const { name, abbreviation, isAlone } = player;
  const isShown: Readonly<Record<string, string>> = isAlone ? { 'print-object': 'no' } : {};
  const names = [
    element('part-name', isShown, name),
    element('part-abbreviation', isShown, abbreviation),
  ];
  return scorePart(partId(part), player, names, channelOfPart(part));
}

/** What stands before the part. */
function preamble(
  { title, grid, composer = '', style = '', player }: Progression,
  isForEngraver: boolean,
): readonly Xml[] {
  const heading = player?.heading ?? '';
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
    ...(heading !== '' || (isForEngraver && composer !== '')
      ? credits(title, composer, heading)
      : []),
  ];
}

/** Where the engraver finds the composer; with credits it takes the title from them too. */
function credits(title: string, composer: string, heading: string): readonly Xml[] {
  const credit = (type: string, style: Readonly<Record<string, string>>, text: string) =>
    element(
      'credit',
      { page: '1' },
      element('credit-type', {}, type),
      element('credit-words', style, text),
    );
  return [
    ...(title === '' ? [] : [credit('title', { justify: 'center', valign: 'top' }, title)]),
    ...(heading === '' ? [] : [credit('part name', { justify: 'left', valign: 'top' }, heading)]),
    ...(composer === ''
      ? []
      : [credit('composer', { justify: 'right', valign: 'bottom' }, composer)]),
  ];
}

/**
 * An instrument that notation programs know by its name, its MusicXML 4.0 sound and its General MIDI
 * program (1, Acoustic Grand Piano), so that the score plays as written for a keyboard.
 */
function partHead(id: string, name: string): Xml {
  const names =
    name === ''
      ? [element('part-name', { 'print-object': 'no' }, 'Piano')]
      : [
          element('part-name', {}, name),
          element('part-abbreviation', {}, name.split(' ', 1)[0] ?? ''),
        ];
  return scorePart(id, { name: 'Piano', sound: 'keyboard.piano', program: 1 }, names, 1);
}
