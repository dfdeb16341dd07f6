/**
 * Chord symbols in a MIDI file. The format has no event for them: programs write them as markers,
 * texts, lyrics or cue points. All events of one of these kinds on one track are a row; it is a row
 * of chord symbols only when every one of them is such a symbol or N.C. What stands in square brackets
 * is beside them: so a chart's and a take's file name their sections, and the treatments of a chart.
 */
import { type WrittenChord, writtenChord } from '../harmony/recognition/fit.ts';
import { parseSymbol, saysNoChord } from '../harmony/symbol/parse-symbol.ts';
import { type MidiFile, metaEventsOf, metaText } from '../midi/read-midi-file.ts';
import type { TempoMap } from '../midi/tempo-map.ts';

export type SymbolMark = {
  /** The file's. */
  readonly tick: number;
  /** Microseconds. */
  readonly at: number;
  /** Undefined: no chord. */
  readonly chord: WrittenChord | undefined;
};

export type SymbolRow = {
  /** In order. */
  readonly marks: readonly SymbolMark[];
  /** Nothing but capital letters, as rehearsal marks are. */
  readonly areLetters: boolean;
};

/** Text, lyric, marker, cue point (Standard MIDI Files 1.0). */
const kinds = [0x01, 0x05, 0x06, 0x07] as const;

/** Cheap, and enough to tell most words: a file may have as many texts as notes. */
const beginning = /^[A-GN]/u;
const longest = 40;
const letter = /^[A-G]2?$/u;
const heading = /^\[.*\]$/u;

type Building = { readonly marks: SymbolMark[]; areLetters: boolean };
type Read = (text: string) => { readonly chord: WrittenChord | undefined } | undefined;

export function symbolRowsOf(file: MidiFile, tempo: TempoMap): readonly SymbolRow[] {
  const read = createReader();
  return file.chunks
    .filter(({ isTrack }) => isTrack)
    .flatMap((chunk) => {
      const rows = new Map<number, Building | 'words'>();
      for (const { tick, bytes } of metaEventsOf(chunk)) {
        const kind = kinds.find((each) => each === bytes[1]);
        const row =
          kind === undefined ? 'words' : (rows.get(kind) ?? { marks: [], areLetters: true });
        if (kind === undefined || row === 'words') continue;
        const text = (metaText(bytes, kind) ?? '').trim();
        const at = Math.round(tempo.microsecondsAt(tick));
        rows.set(kind, withText(row, text, { tick, at }, read));
      }
      return [...rows.values()].filter((row) => row !== 'words');
    })
    .filter(({ marks }) => marks.some(({ chord }) => chord !== undefined));
}

function withText(
  row: Building,
  text: string,
  when: Pick<SymbolMark, 'tick' | 'at'>,
  read: Read,
): Building | 'words' {
  if (text === '' || heading.test(text)) return row;
  const mark = read(text);
  if (mark === undefined) return 'words';
  row.areLetters &&= letter.test(text);
  row.marks.push({ ...when, ...mark });
  return row;
}

/** Each text is read once. */
function createReader(): Read {
  const known = new Map<string, ReturnType<Read>>();
  return (text) => {
    if (!beginning.test(text) || text.length > longest) return undefined;
    if (known.has(text)) return known.get(text);
    const parsed = parseSymbol(text);
    const chord = parsed.ok ? { chord: writtenChord(parsed.value) } : undefined;
    const read = saysNoChord(text) ? { chord: undefined } : chord;
    known.set(text, read);
    return read;
  };
}
