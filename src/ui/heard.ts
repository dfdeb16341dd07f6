/** What was heard, as lines: the chord symbol, the notes held for it, the next best reading. */
import type { Snapshot } from '../live/snapshot.ts';
import type { Layout } from './layout.ts';
import { setSymbol } from './lettering.ts';
import type { Look } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { type Span, withAccidentals } from './text.ts';

export function heardLines(
  look: Look,
  layout: Layout,
  { state, mode }: StageModel,
): readonly (readonly Span[])[] {
  const { snapshot } = state;
  const heard = snapshot.chords.at(-1)?.heard;
  const heading: readonly Span[] = [{ text: 'heard', tone: 'quiet' }];
  if (!heard) {
    const hint = mode === 'rehearsal' ? 'Press 1 for a chord.' : 'Hold a chord: a triad is enough.';
    return [
      heading,
      ...setSymbol(look, hint, 'plain', layout.scale, layout.left),
      heldNotes(look, snapshot),
    ];
  }
  const symbol = heard.symbol || 'no chord by name';
  const notes = heard.notes.map((note) => withAccidentals(look, note.name)).join(' ');
  const second = heard.symbol
    ? heard.runnerUp && `or ${withAccidentals(look, heard.runnerUp)}`
    : 'sent on as played';
  return [
    heading,
    ...setSymbol(look, symbol, 'strong', layout.scale, layout.left),
    [{ text: notes }],
    [{ text: second, tone: 'quiet' }],
  ];
}

function heldNotes(look: Look, { held }: Snapshot): readonly Span[] {
  return [{ text: held.map((note) => withAccidentals(look, note.name)).join(' ') }];
}
