/**
 * What happened, as text for views: built from what the engine noted down, away from the hot path.
 */
import { sortedBy } from '../common/sorted-by.ts';
import { chordOf } from '../harmony/chord/chord.ts';
import type { Harmony } from '../harmony/chord/palette.ts';
import { spellInKey } from '../harmony/chord/spelling.ts';
import { formatKey, type Key } from '../harmony/key/key.ts';
import { hasOwnBass } from '../harmony/naming/own-bass.ts';
import {
  type PitchClass,
  type PitchClassSet,
  setOfNotes,
} from '../harmony/pitch/pitch-class-set.ts';
import {
  formatNote,
  formatPitchClass,
  type SpelledPitchClass,
} from '../harmony/pitch/pitch-name.ts';
import { isVoiceable } from '../harmony/recognition/reading.ts';
import { type Chord, rankReadings } from '../harmony/recognition/recognise.ts';
import { formatChord, rootOf, spellInChord } from '../harmony/symbol/symbol.ts';
import type { Kept } from '../voicing/kept.ts';
import { leftOut } from '../voicing/left-out.ts';
import { degreeAmong, type Names, namesOf } from '../voicing/sounding.ts';
import type { Voicing } from '../voicing/voicing.ts';
import { givenBy, type PlayedChord, playedReport } from './listening/played-report.ts';
import type { ChordReport, NamedNote, SoundingVoice } from './snapshot.ts';
import type { PlaceNoted } from './tune/tune-on-stage.ts';
import type { Beside, Voiced } from './voicing/voicer-api.ts';

/** Readings worth less are no names anybody would give: they are not shown. */
const leastRunnerUp = -1;

/** What the engine keeps of one chord: values only, no text. */
export type Noted = {
  readonly atMicroseconds: number;
  readonly heard: readonly number[];
  /** Of `heard`, the bass that the player holds apart; absent: none. */
  readonly bassHeld?: number | undefined;
  /** Keys held beside the chord, which sound as played. */
  readonly beside?: readonly Beside[] | undefined;
  readonly voiced: Voiced | undefined;
  /** It sounded as it was played, for nothing is revoiced: this one after those before it. */
  readonly played?: readonly PlayedChord[];
  /** What was read although it could not be voiced. */
  readonly chord?: Chord;
  readonly velocities: readonly number[];
  readonly key: Key | undefined;
  readonly preset: string;
  /** Where in the tune it was played; absent: there is none. */
  readonly place?: PlaceNoted | undefined;
  /** The chord before sounds on in another voicing. */
  readonly isRevoiced?: boolean;
  /** Told once more, to be kept. */
  readonly kept?: Kept | undefined;
  /** Chosen, and not heard yet. */
  readonly isUnheard?: boolean;
};

export function nameInKey(note: number, key: Key | undefined): NamedNote {
  return { note, name: formatNote(note, spellInKey(note % 12, key)) };
}

function nameInChord(note: number, { chord, root, key }: Told): string {
  return formatNote(note, spellInChord(note % 12, root, chord.type.degreeAt, key));
}

type RunnerUp = {
  readonly set: PitchClassSet;
  readonly bass: PitchClass;
  readonly key: Key | undefined;
  readonly name: string;
};

/** Of chords as they were last told: most are played again. */
const runnersUp = new WeakMap<Chord, RunnerUp>();

/**
 * The next best name of the same notes: another root or type with nothing left out but a fifth, or ''
 * when there is none.
 */
function runnerUp(chord: Chord, notes: readonly number[], key: Key | undefined): string {
  const set = setOfNotes(notes);
  // What was written may name another bass than the one that lies lowest.
  const bass = (notes[0] ?? 0) % 12;
  const known = runnersUp.get(chord);
  if (known?.set === set && known.bass === bass && known.key === key) return known.name;
  const name = runnerUpAmong(chord, set, bass, key);
  runnersUp.set(chord, { set, bass, key, name });
  return name;
}

function runnerUpAmong(
  chord: Chord,
  set: PitchClassSet,
  bass: PitchClass,
  key: Key | undefined,
): string {
  const context = key === undefined ? {} : { key };
  const other = rankReadings(set, bass, context).find(
    ({ reading }) =>
      isVoiceable(reading) &&
      ((bass + reading.rootAboveBass) % 12 !== chord.root || reading.type !== chord.type) &&
      reading.omitted.every((degree) => degree === '5') &&
      reading.score > leastRunnerUp,
  );
  return other === undefined ? '' : formatChord(chordOf(other.reading, bass), key);
}

type Told = Harmony & {
  readonly key: Key | undefined;
  /** The chord's, as it is spelled in the key. */
  readonly root: SpelledPitchClass;
  readonly symbol: string;
  readonly names: Names;
  readonly absent: readonly string[];
};

/** Of voicings as they were last told. */
const toldBefore = new WeakMap<Voicing, Told>();

/** What it and its chord are called, and what is left out in it. */
function toldOf({ voicing, harmony }: Voiced, key: Key | undefined): Told {
  const known = toldBefore.get(voicing);
  const isSame = known?.chord === harmony.chord && known.palette === harmony.palette;
  if (isSame && known.key === key) return known;
  const names = namesOf(voicing, harmony, key);
  const { chord } = harmony;
  // What a typed symbol only implies nobody holds; read over its bass it is another type with others.
  const { written, type } = chord;
  const isOwnType = written?.isStated === true && written.symbol.type === type;
  const absent = leftOut(voicing, harmony, isOwnType ? 'written' : 'held');
  const [root, symbol] = [rootOf(chord, key), formatChord(chord, key)];
  const made = { ...harmony, key, root, symbol, names, absent };
  toldBefore.set(voicing, made);
  return made;
}

function voicesOf(noted: Noted, { harmony, voicing }: Voiced, names: Names): SoundingVoice[] {
  return voicing.notes.map((note, voice) => ({
    note,
    name: names.voices[voice] ?? '',
    degree: degreeAmong(voicing.notes, note, harmony),
    part: voice === 0 && voicing.bass !== undefined ? 'bass' : 'upper',
    velocity: noted.velocities[voice] ?? 0,
  }));
}

/** An inversion that ends a hand is no bass; one below it was meant as such, and its loss is told. */
function lostBassOf(
  heard: readonly number[],
  { voicing }: Voiced,
  { chord, root, key }: Told,
): string | undefined {
  const [lowest = 127] = heard;
  const isBass = hasOwnBass(lowest, heard.at(-1) ?? lowest) || chord.written !== undefined;
  if (!isBass || chord.bass === chord.root) return undefined;
  // Where another player has the bass nothing is lost.
  if (voicing.bass === undefined || voicing.bass % 12 === chord.bass) return undefined;
  return formatPitchClass(spellInChord(chord.bass, root, chord.type.degreeAt, key));
}

const asPlayed = {
  nameless: 'as played: no name for these notes',
  crowded: 'as played: the registers leave no room for a voicing',
} as const;

/** What the player has had changed. */
function ownChoiceOf({
  isRevoiced,
  isUnheard,
  kept,
  voiced,
}: Noted): Pick<ChordReport, 'isRevoiced' | 'isUnheard' | 'kept' | 'choice'> {
  return {
    ...(isRevoiced && { isRevoiced }),
    ...(isUnheard && { isUnheard }),
    ...(kept !== undefined && { kept }),
    ...(voiced?.choice !== undefined && { choice: voiced.choice }),
  };
}

function placeOf({ at, chorus, isUnsure }: PlaceNoted): Pick<ChordReport, 'place' | 'written'> {
  const { bar, beat, symbol, section, opensSection } = at;
  const begun = opensSection && !isUnsure ? { section } : {};
  return { place: { bar, beat, chorus, ...(isUnsure && { isUnsure }), ...begun }, written: symbol };
}

export function reportOf(noted: Noted): ChordReport {
  const { voiced, heard, key } = noted;
  const ascending = sortedBy(heard, (note) => note);
  const base = {
    atMicroseconds: noted.atMicroseconds,
    preset: noted.preset,
    ...(key !== undefined && { key: formatKey(key) }),
    ...(noted.place !== undefined && placeOf(noted.place)),
    ...ownChoiceOf(noted),
  };
  if (noted.played !== undefined) {
    const { chord, heard: named, ...played } = playedReport(noted.played, key, noted.velocities);
    const other = runnerUp(chord, ascending, key);
    return { ...base, ...played, heard: { ...named, runnerUp: other } };
  }
  if (voiced === undefined) {
    const notes = ascending.map((note) => ({ ...nameInKey(note, key), part: 'chord' as const }));
    const voices = ascending.map((note, voice) => ({
      ...nameInKey(note, key),
      degree: '',
      part: 'upper' as const,
      velocity: noted.velocities[voice] ?? 0,
    }));
    const symbol = noted.chord === undefined ? '' : formatChord(noted.chord, key);
    const label = noted.chord === undefined ? asPlayed.nameless : asPlayed.crowded;
    return {
      ...base,
      heard: { symbol, runnerUp: '', notes },
      sent: { voices, symbol: '', label, technique: '', relaxed: [] },
    };
  }
  const { chord } = voiced.harmony;
  const told = toldOf(voiced, key);
  const { names, absent } = told;
  const beside = (noted.beside ?? []).map(({ note, part }) => ({
    note,
    name: nameInChord(note, told),
    part,
  }));
  const lostBass = lostBassOf(ascending, voiced, told);
  return {
    ...base,
    heard: {
      symbol: told.symbol,
      runnerUp: runnerUp(chord, ascending, key),
      notes: ascending.map((note) => ({
        note,
        name: nameInChord(note, told),
        part: note === noted.bassHeld ? 'bass' : 'chord',
      })),
      ...(beside.length > 0 && { beside }),
      ...givenBy(chord),
    },
    sent: {
      voices: voicesOf(noted, voiced, names),
      symbol: names.symbol,
      label: voiced.voicing.label,
      technique: voiced.voicing.technique ?? '',
      relaxed: voiced.relaxed,
      ...(absent.length > 0 && { leftOut: absent }),
      ...(lostBass !== undefined && { lostBass }),
    },
  };
}
