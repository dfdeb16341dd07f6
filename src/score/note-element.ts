/**
 * One note or rest as MusicXML's <note>, with its ties and its part in a triplet. The order of
 * elements is the schema's (MusicXML 4.0).
 */
import type { Beam } from './beams.ts';
import type { Pitch, StaffVoice, Written } from './staff-voices.ts';
import { element, type Xml } from './xml.ts';

const letters = 'CDEFGAB';

export type NoteMarks = {
  readonly accidental?: string | undefined;
  /** One that is not needed and reminds of the signature. */
  readonly courtesy?: string | undefined;
  readonly beams?: readonly Beam[] | undefined;
  /** Sounds with the note before, and has no beams of its own. */
  readonly isInChord: boolean;
  /** Keeps its place and is not printed. */
  readonly isHidden?: boolean;
  /** By which it is found again in a picture; absent: by nothing. */
  readonly id?: string | undefined;
};

/** `pitch` undefined: a rest. */
export function noteElement(
  value: Written,
  pitch: Pitch | undefined,
  { staff, voice }: StaffVoice,
  { accidental, courtesy, beams, isInChord, isHidden = false, id }: NoteMarks,
): Xml {
  const children: Xml[] = [];
  if (isInChord) children.push(element('chord'));
  children.push(pitch === undefined ? restElement(value) : pitchElement(pitch));
  children.push(element('duration', {}, String(value.length)));
  const ties = pitch === undefined ? [] : tiesOf(value);
  for (const type of ties) children.push(element('tie', { type }));
  children.push(element('voice', {}, String(voice)));
  if (!value.isWholeBar) children.push(element('type', {}, value.type));
  if (value.dots === 1) children.push(element('dot'));
  if (accidental !== undefined) children.push(element('accidental', {}, accidental));
  else if (courtesy !== undefined) {
    const manner = { cautionary: 'yes', parentheses: 'yes' };
    children.push(element('accidental', manner, courtesy));
  }
  if (value.triplet !== undefined) {
    const [actual, normal] = [element('actual-notes', {}, '3'), element('normal-notes', {}, '2')];
    children.push(element('time-modification', {}, actual, normal));
  }
  children.push(element('staff', {}, String(staff)));
  if (!isInChord) {
    beams?.forEach((beam, level) => {
      children.push(element('beam', { number: String(level + 1) }, beam));
    });
  }
  const notations = [
    ...ties.map((type) => element('tied', { type })),
    ...(isInChord ? [] : tupletMarks(value)),
  ];
  if (notations.length > 0) children.push(element('notations', {}, ...notations));
  const attributes = {
    ...(id !== undefined && { id }),
    ...(isHidden && { 'print-object': 'no' }),
  };
  return element('note', attributes, ...children);
}

function restElement({ isWholeBar }: Written): Xml {
  return element('rest', isWholeBar ? { measure: 'yes' } : {});
}

function pitchElement({ letter, accidental, octave }: Pitch): Xml {
  const alter = accidental === 0 ? [] : [element('alter', {}, String(accidental))];
  return element(
    'pitch',
    {},
    element('step', {}, letters[letter] ?? 'C'),
    ...alter,
    element('octave', {}, String(octave)),
  );
}

function tiesOf({ isTiedIn, isTiedOut }: Written): readonly ('stop' | 'start')[] {
  return [...(isTiedIn ? ['stop' as const] : []), ...(isTiedOut ? ['start' as const] : [])];
}

function tupletMarks({ triplet }: Written): readonly Xml[] {
  if (triplet === undefined) return [];
  return [
    ...(triplet.isFirst ? [element('tuplet', { type: 'start' })] : []),
    ...(triplet.isLast ? [element('tuplet', { type: 'stop' })] : []),
  ];
}
