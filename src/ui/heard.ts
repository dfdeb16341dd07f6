/** What was heard, as lines: the chord symbol, the notes held for it, the next best reading. */
import type { ChordReport, Snapshot } from '../live/snapshot.ts';
import { guidanceHint } from './guidance.ts';
import type { Layout } from './layout.ts';
import { setSymbol } from './lettering.ts';
import type { Look } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { type Span, withAccidentals } from './text.ts';

export function heardLines(
  look: Look,
  layout: Layout,
  model: StageModel,
): readonly (readonly Span[])[] {
  const { snapshot } = model.state;
  const heard = snapshot.chords.at(-1)?.heard;
  const heading: readonly Span[] = [{ text: 'heard', tone: 'quiet' }];
  if (!heard) {
    return [
      heading,
      ...setSymbol(look, guidanceHint(model), 'plain', layout.scale, layout.left),
      heldNotes(look, snapshot),
      [],
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
    [{ text: notes }, { text: besideText(look, snapshot, heard), tone: 'quiet' }],
    [{ text: second, tone: 'quiet' }],
  ];
}

/** Keys that are held beside the chord, each with the part it plays: ' + B4 line'. */
function besideText(look: Look, { held }: Snapshot, { notes }: ChordReport['heard']): string {
  return held
    .filter(
      ({ note, part = 'chord' }) => part !== 'chord' && !notes.some((each) => each.note === note),
    )
    .map(({ name, part = 'chord' }) => ` + ${withAccidentals(look, name)} ${part}`)
    .join('');
}

function heldNotes(look: Look, { held }: Snapshot): readonly Span[] {
  return [{ text: held.map((note) => withAccidentals(look, note.name)).join(' ') }];
}

/** A chord that sounds is told in the key of now; one that has ended belongs to the key it had. */
export function functionNow(
  { state: { snapshot }, functionOf }: StageModel,
  last: ChordReport,
): ReturnType<NonNullable<StageModel['functionOf']>> | undefined {
  const isOver = !snapshot.isChordSounding && (last.key ?? '') !== snapshot.key;
  return isOver ? undefined : functionOf?.(last, snapshot.key);
}

/** The key, and the chord's function in it. */
export function keyAndFunction(look: Look, model: StageModel): readonly Span[] {
  const { snapshot } = model.state;
  const last = snapshot.chords.at(-1);
  const found = last && functionNow(model, last);
  const { numeral = '', role = '' } = found ?? {};
  if (snapshot.key === '') {
    const none = snapshot.isKeyFollowed === true ? 'no key heard yet' : 'no key';
    return [{ text: none, tone: 'quiet' }];
  }
  return [
    { text: snapshot.isKeyFollowed === true ? 'heard in ' : 'in ', tone: 'quiet' },
    { text: withAccidentals(look, snapshot.key) },
    { text: numeral === '' ? '' : ': ' },
    { text: withAccidentals(look, numeral), tone: 'strong' },
    { text: role === '' ? '' : `, ${role}` },
  ];
}
