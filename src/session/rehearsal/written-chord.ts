/**
 * A chord to play, as written: a symbol ('Am7/C') or the notes themselves ('C4 E4 G4', '60 64 67', or
 * in one word 'C4,E4,G4').
 * Pure: notes are MIDI note numbers, lowest first.
 */
import type { ChordType } from '../../harmony/chord/chord-type.ts';
import { type Degree, semitonesOf } from '../../harmony/pitch/degree.ts';
import { has, type PitchClassSet } from '../../harmony/pitch/pitch-class-set.ts';
import { pitchClassOfSpelled } from '../../harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../../harmony/symbol/chord-symbol.ts';
import { parseSymbol } from '../../harmony/symbol/parse-symbol.ts';
import { highestNote, parseNoteName } from '../../presets/note-name.ts';

export type WrittenChord =
  /** `symbol`: what says which chord they are; absent: notes were written. */
  | { readonly ok: true; readonly notes: readonly number[]; readonly symbol?: string }
  /** One sentence. */
  | { readonly ok: false; readonly problem: string };

/** C4: the root of a symbol stands in the octave from here, so that a hand is in its middle. */
const lowestRoot = 60;
/** So far below the hand, in semitones, stands a bass behind a slash, apart from it: from C2 on. */
const belowHand = 24;

/** Those within parentheses belong to a symbol: 'G7(b9,b13)'. */
const between = /[\s,]+(?![^(]*\))/u;

function noteOf(text: string): number | undefined {
  const named = parseNoteName(text);
  if (named !== undefined) return named;
  const number = Number(text);
  return /^\d+$/.test(text) && number <= highestNote ? number : undefined;
}

/** Of altered ninths and fifths a hand holds one each: all of them are a cluster that has no name. */
function heldDegrees({ degrees, oneOf }: ChordType): readonly Degree[] {
  const isIn = (choice: PitchClassSet, degree: Degree) => has(choice, semitonesOf(degree) % 12);
  return degrees.filter((degree) =>
    oneOf.every(
      (choice) =>
        !isIn(choice, degree) || degrees.findLast((each) => isIn(choice, each)) === degree,
    ),
  );
}

/** The chord's tones one above the other, as its type stacks them, above the bass or chord it stands over. */
function heldNotes({ root, type, bass, lower }: ChordSymbol, octave: number): readonly number[] {
  const notes: number[] = [];
  const first = octave + pitchClassOfSpelled(root);
  for (const degree of heldDegrees(type)) {
    const tone = first + semitonesOf(degree);
    const below = notes.at(-1) ?? 0;
    notes.push(tone > below ? tone : tone + 12 * Math.ceil((below + 1 - tone) / 12));
  }
  const under = octave - belowHand;
  if (lower !== undefined) return [...heldNotes(lower, under), ...notes];
  return bass === undefined ? notes : [under + pitchClassOfSpelled(bass), ...notes];
}

function notesOfSymbol(text: string): WrittenChord {
  const parsed = parseSymbol(text);
  if (!parsed.ok) return { ok: false, problem: `${parsed.problem}.` };
  const notes = [...new Set(heldNotes(parsed.value, lowestRoot))];
  return { ok: true, notes: notes.sort((one, other) => one - other), symbol: text };
}

export function writtenChord(text: string): WrittenChord {
  const words = text.trim().split(between).filter(Boolean);
  const [only = ''] = words;
  if (words.length === 0) {
    return { ok: false, problem: "Say what to play: 'play Am7', or 'play C4 E4 G4'." };
  }
  // 'C6' by itself is a chord, although a note is called so too.
  const isOne = words.length === 1 && !/,$/.test(text.trim());
  if (isOne && !/^\d+$/.test(only)) return notesOfSymbol(only);
  const notes: number[] = [];
  for (const word of words) {
    const note = noteOf(word);
    if (note === undefined) {
      const problem = `'${word}' is no note; give a name with its octave, such as Eb4, or a number from 0 to 127.`;
      return { ok: false, problem };
    }
    if (!notes.includes(note)) notes.push(note);
  }
  return { ok: true, notes: notes.sort((one, other) => one - other) };
}
