/** What sounds, as lines: resulting symbol, what an arranger would call it, what was given up. */
import type { ChordReport, Snapshot } from '../live/snapshot.ts';
import { wantingLines } from './given-up.ts';
import type { Layout } from './layout.ts';
import { setSymbol } from './lettering.ts';
import { type Look, signsOf } from './look.ts';
import { type Span, withAccidentals, wrapWords } from './text.ts';

type Lines = readonly (readonly Span[])[];

export function soundsLines(look: Look, layout: Layout, snapshot: Snapshot): Lines {
  const report = snapshot.chords.at(-1);
  const isNow = report !== undefined && snapshot.isChordSounding;
  const heading: readonly Span[] = [
    { text: isNow || !report ? 'sounds' : 'sounded', tone: 'quiet' },
  ];
  if (!report) return [heading, ...setSymbol(look, '', 'plain', layout.scale, layout.left), [], []];
  const { sent } = report;
  const tone = isNow ? 'sounding' : 'plain';
  // A long label goes on in the line of the remarks; nothing else moves while there are none.
  const words: Lines = [
    ...wrapWords(withAccidentals(look, sent.label), layout.left).map((text) => [{ text }]),
    ...remarks(look, layout, snapshot, report),
  ];
  return [
    heading,
    ...setSymbol(look, sent.symbol || signsOf(look).dash, tone, layout.scale, layout.left),
    ...(words.length < 2 ? [...words, []] : words),
  ];
}

/** What the voicing had to give up, else what sounds besides the voices. */
function remarks(look: Look, { left }: Layout, snapshot: Snapshot, { sent }: ChordReport): Lines {
  const wanting = wantingLines(sent, left);
  if (wanting.length > 0) {
    return wanting.map((text) => [{ text: withAccidentals(look, text), tone: 'caution' }]);
  }
  const voiced = new Set(sent.voices.map((voice) => voice.note));
  const besides = snapshot.sounding.filter((note) => !voiced.has(note.note));
  if (besides.length === 0) return [];
  const names = besides.map((note) => withAccidentals(look, note.name)).join(' ');
  return [[{ text: `passing through: ${names}`, tone: 'quiet' }]];
}
