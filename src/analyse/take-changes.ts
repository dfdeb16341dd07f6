/**
 * The changes that a take carries: what stands written in the tune it was played over is what its
 * chords are read by, wherever their place in the tune is sure and the notes agree.
 */
import { counted } from '../common/words.ts';
import { setOfNotes } from '../harmony/pitch/pitch-class-set.ts';
import { writtenChord } from '../harmony/recognition/fit.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import type { ChordReport } from '../live/snapshot.ts';

export type TakeChanges = {
  /** Each with the symbol that is written for it in place of the one that was heard. */
  readonly chords: readonly ChordReport[];
  /** Those with a name, each once however often its voicing changed. */
  readonly named: number;
  /** Of these the ones that what is written fits. */
  readonly fitting: number;
};

function isWrittenFor({ written = '', place, heard, sent }: ChordReport): boolean {
  if (place === undefined || place.isUnsure === true) return false;
  const symbol = parseSymbol(written);
  const notes = sent.voices.length > 0 ? sent.voices : heard.notes;
  return symbol.ok && writtenChord(symbol.value).fits(setOfNotes(notes.map(({ note }) => note)));
}

/** Undefined: no tune was under it. */
export function changesOfTake(chords: readonly ChordReport[]): TakeChanges | undefined {
  if (!chords.some(({ written }) => written !== undefined)) return undefined;
  let [named, fitting] = [0, 0];
  const read = chords.map((chord) => {
    const { heard, written, isRevoiced } = chord;
    if (heard.symbol === '') return chord;
    const one = isRevoiced === true ? 0 : 1;
    named += one;
    if (written === undefined || !isWrittenFor(chord)) return chord;
    fitting += one;
    return { ...chord, heard: { ...heard, symbol: written } };
  });
  return { chords: read, named, fitting };
}

/** @param tunes 'the tune 'Title'', or how many. */
export function takeChangesRemark({ named, fitting }: TakeChanges, tunes: string): string {
  const all = counted(named, 'chord');
  if (fitting === 0) {
    return `was played over ${tunes}, whose changes fit none of its ${all}: all are read by ear.`;
  }
  const rest = fitting === named ? '' : ', the others by ear';
  return `was played over ${tunes}: ${fitting} of its ${all} are read by the changes${rest}.`;
}
