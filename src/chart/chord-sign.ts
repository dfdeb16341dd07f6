/**
 * A chord as a chart writes it: the symbol with the signs around it. '<Cm7' comes an eighth early,
 * '(Cm7)' may be left out, 'Cm7@G4' has its top voice on G4.
 */

import { parseWrittenNote } from '../harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../harmony/symbol/chord-symbol.ts';
import { parseSymbol, saysNoChord } from '../harmony/symbol/parse-symbol.ts';

export type ReadSymbol =
  | { readonly ok: true; readonly symbol: ChordSymbol | undefined }
  /** A whole sentence. */
  | { readonly ok: false; readonly message: string };

/** Each text is read once: long charts say the same over and over. */
export function createSymbolReader(): (text: string) => ReadSymbol {
  const known = new Map<string, ReadSymbol>();
  return (text) => {
    const before = known.get(text);
    if (before !== undefined) return before;
    const read = readSymbol(text);
    known.set(text, read);
    return read;
  };
}

function readSymbol(text: string): ReadSymbol {
  if (saysNoChord(text)) return { ok: true, symbol: undefined };
  const parsed = parseSymbol(text);
  if (parsed.ok) return { ok: true, symbol: parsed.value };
  return { ok: false, message: `${parsed.problem}.` };
}

export type ChordSign = {
  readonly symbol: string;
  readonly isPushed: boolean;
  /** A parenthesis opens before it, closes behind it. */
  readonly opens: boolean;
  readonly closes: boolean;
  /** A MIDI note. */
  readonly lead: number | undefined;
  /** A sentence, when what stands behind @ is no note. */
  readonly problem: string | undefined;
};

/** Takes the signs off; never fails, whatever the text. */
export function chordSign(text: string): ChordSign {
  const [, signs = '', rest = ''] = /^([<(]*)(.*)$/u.exec(text) ?? [];
  const opens = signs.includes('(');
  const { body, closes } = withoutClosing(rest);
  const [symbol = '', note] = body.split(/@(?=[^@]*$)/u);
  const lead = note === undefined ? undefined : parseWrittenNote(note)?.midi;
  const problem =
    note !== undefined && lead === undefined
      ? `'@${note}' is no note to lead with; write it with its octave, such as @G4.`
      : undefined;
  return { symbol, isPushed: signs.includes('<'), opens, closes, lead, problem };
}

/** A parenthesis at the end that opens nowhere in the symbol. */
function withoutClosing(text: string): { readonly body: string; readonly closes: boolean } {
  const count = (sign: string) => text.split(sign).length - 1;
  const closes = text.endsWith(')') && count(')') > count('(');
  return { body: closes ? text.slice(0, -1) : text, closes };
}
