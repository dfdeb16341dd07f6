/**
 * What a hand-out says, before it is laid out: the facts of the piece in a line, and a row for each
 * chord. Text and page are made from the same rows.
 */
import { formatKey } from '../harmony/key/key.ts';
import { functionName } from '../harmony/key/numeral.ts';
import { formatBeatNote } from '../midi/beat-note.ts';
import { placesIn } from './beat-position.ts';
import { keyAt, type Progression, type ProgressionNote, tempoMarkOf } from './progression.ts';

export type HandOutRow = {
  /** Bar and beat: '3.1'. */
  readonly place: string;
  /** As written or heard; '' where the chord before sounds on in another voicing. */
  readonly symbol: string;
  /** What it is in the key, or ''. */
  readonly numeral: string;
  readonly sounds: string;
  readonly notes: readonly ProgressionNote[];
  readonly label: string;
};

export type HandOut = {
  readonly title: string;
  readonly facts: readonly string[];
  readonly rows: readonly HandOutRow[];
};

/** 'Eb major', or 'Eb major, then G minor' where it turns. */
function keysOf({ key, keys = [] }: Progression): string {
  const all = [key, ...keys.map((each) => each.key)];
  return all.flatMap((each) => (each === undefined ? [] : [formatKey(each)])).join(', then ');
}

export function handOutOf(progression: Progression): HandOut {
  const { title, metres, chords, grid } = progression;
  const tempo = tempoMarkOf(progression);
  const placeOf = placesIn(progression);
  const [metre] = metres;
  const facts = [
    keysOf(progression),
    metre === undefined ? '' : `${metre.beats}/${metre.unit}`,
    `${Math.round(tempo.perMinute)} ${formatBeatNote(tempo.note)} notes a minute`,
    grid === '' ? '' : `written in ${grid}`,
  ].filter((fact) => fact !== '');
  const rows = chords.map(({ tick, symbol, sounds, notes, label, leftOut = [], isRevoiced }) => ({
    place: placeOf(tick),
    symbol: isRevoiced ? '' : symbol || '–',
    numeral: isRevoiced ? '' : functionName(symbol, keyAt(progression, tick)).numeral,
    sounds,
    notes,
    label: leftOut.length === 0 ? label : `${label}; left out: ${leftOut.join(', ')}`,
  }));
  return { title: title === '' ? 'Voicings' : title, facts, rows };
}
