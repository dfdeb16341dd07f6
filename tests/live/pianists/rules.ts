/**
 * What is right, said once: a key kept as it was played, a voicing of the chord that was meant,
 * everything struck once. Each rule gives a sentence for people, or nothing.
 */
import {
  has,
  membersOf,
  setOfNotes,
  transpose,
} from '../../../src/harmony/pitch/pitch-class-set.ts';
import type { StrategyId } from '../../../src/presets/preset.ts';
import { harmonyOf, type Meant, type Reference, type Wanted } from './chords.ts';
import type { Heard } from './hearing.ts';
import { longestWaitMicroseconds } from './presets.ts';
import type { Span } from './receiver.ts';
import type { Block, Fault, Stage, Stroke } from './stage.ts';

/** Nothing waits past the ceiling; a chord is settled when it has been reached after the last key. */
export const ceiling = longestWaitMicroseconds;
/** What comes this little later than a release is heard with it. */
const slack = 60_000;

const letters = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];

export function nameOf(note: number): string {
  return `${letters[note % 12]}${Math.floor(note / 12) - 1}`;
}

export function namesOf(notes: readonly number[]): string {
  return notes.map(nameOf).join(' ');
}

function pitchClassNames(set: number): string {
  return membersOf(set)
    .map((each) => letters[each])
    .join(' ');
}

export function inMilliseconds(time: number): string {
  return `${Math.round(time / 100) / 10} ms`;
}

/** The first fault of several. */
export function firstOf(...faults: readonly (() => Fault)[]): Fault {
  for (const fault of faults) {
    const found = fault();
    if (found !== undefined) return found;
  }
  return undefined;
}

// --- keys that pass as played -------------------------------------------------------------------

function whyNotHeard(heard: Heard, { note, channel, velocity, at }: Stroke, delay: number): string {
  const near = heard.spans.filter((span) => span.note === note && span.from >= at);
  const soon = near.filter((span) => span.from <= at + delay);
  const elsewhere = soon.find((span) => span.channel !== channel);
  const [other] = soon;
  if (elsewhere !== undefined) return `it sounds on channel ${elsewhere.channel + 1}`;
  if (other !== undefined) return `it sounds with velocity ${other.velocity} for ${velocity}`;
  const [late] = near;
  if (late !== undefined && late.from < at + 400_000)
    return `it comes ${inMilliseconds(late.from - at)} late`;
  return 'it does not sound';
}

export type Keeping = {
  /** Longest wait for it, in microseconds; absent: the ceiling. */
  readonly delay?: number;
  /** A voice has the same pitch and may go on sounding. */
  readonly mayGoOn?: boolean;
  /** The chord it belongs to may end it, up to this long before its key. */
  readonly early?: number;
  /** The chord's own bass, struck on its note a moment before, may be it: a flam is heard as a slip. */
  readonly isShared?: boolean;
};

/** Two strokes of one note closer than this are a flam. */
const flam = 40_000;

/**
 * The key sounds at its own pitch and velocity on its own channel, soon, once, as long as it is
 * down, and no longer (but for the pedal).
 */
export function keptFault(
  heard: Heard,
  stroke: Stroke,
  { delay = ceiling, mayGoOn = false, early = 0, isShared = false }: Keeping = {},
): Fault {
  const { note, channel, velocity, at, until } = stroke;
  const own = heard.spans.filter((span) => span.note === note && span.channel === channel);
  const isOwn = (span: Span): boolean =>
    span.from >= at && span.from <= at + delay && span.velocity === velocity;
  const isChords = (span: Span): boolean =>
    isShared && span.from < at && span.from >= at - flam && span.to > at;
  const first = own.find((span) => isOwn(span) || isChords(span));
  const name = nameOf(note);
  if (first === undefined || first.to <= first.from) {
    return `${name}: ${whyNotHeard(heard, stroke, delay)}`;
  }
  if (own.filter((span) => span.from >= at && span.from < until).length > 1) {
    return `${name} is struck twice`;
  }
  if (first.to < until - early) return `${name} is cut ${inMilliseconds(until - first.to)} early`;
  const lastNoteOff = Math.max(until, first.from) + slack;
  if (!mayGoOn && first.released > lastNoteOff) return `${name} sounds on after its key is up`;
  return undefined;
}

// --- voicings -----------------------------------------------------------------------------------

/** Which bass is asked for: that of the clean block, none in particular, or a note that is held. */
export type AskedBass = 'own' | 'any' | number;

export type Surroundings = {
  /** Notes of lines that sound beside the voicing and are not among it. */
  readonly lines?: readonly number[];
  readonly bass?: AskedBass;
  /** The voicing may have as many notes as this; absent: as the clean block, or the preset's voices. */
  readonly most?: number;
};

function bassFault(
  stage: Stage,
  voicing: readonly number[],
  { notes: reference }: Reference,
  bass: AskedBass,
): Fault {
  const [lowest = 0] = voicing;
  if (bass === 'any') return undefined;
  if (typeof bass === 'number') {
    return lowest > bass
      ? undefined
      : `${nameOf(lowest)} lies at or below the bass ${nameOf(bass)}`;
  }
  if (stage.preset.bass.policy === 'none') return undefined;
  const [wanted = 0] = reference;
  return lowest % 12 === wanted % 12
    ? undefined
    : `the bass is ${nameOf(lowest)} for ${letters[wanted % 12]}`;
}

/** Root position without a doubled tone: read as what it is. */
function plainNotes({ root, tones }: Meant): number[] {
  return tones.map((tone) => 60 + root + tone);
}

type Allowed = { readonly universe: number; readonly guides: number };

/**
 * Pitch classes the chord may sound as in this preset, and of those it was played with its third and
 * seventh (or what stands for them); what the preset adds, it may leave out.
 */
function allowedFor(stage: Stage, notes: readonly number[], root?: number): Allowed {
  const harmony = harmonyOf(stage.preset, stage.key, notes);
  const held = setOfNotes(notes);
  if (harmony === undefined || (root !== undefined && harmony.chord.root !== root)) {
    return { universe: held, guides: 0 };
  }
  const { palette, chord } = harmony;
  const isHybrid = stage.preset.strategy === 'hybrid';
  return {
    // A hybrid on a dominant's flat seventh has the fourth in place of the third.
    universe: transpose(palette.universe | (isHybrid ? 1 << 5 : 0), chord.root) | held,
    guides: transpose(chord.type.guides & palette.universe, chord.root),
  };
}

/**
 * The voicing is one of the chord that was meant: every tone belongs to the chord as the preset
 * grows it or is in the clean block; no guide tone that the clean block has is missing (a line may have
 * it), the bass is right, and it is neither thinner nor thicker than a voicing is.
 */
export function voicingFault(
  stage: Stage,
  voicing: readonly number[],
  { root, tones, notes, reference }: Wanted,
  surroundings: Surroundings = {},
): Fault {
  const { universe, guides } = allowedFor(stage, plainNotes({ root, tones, notes }), root);
  const wanted = guides & setOfNotes(reference.notes);
  return contentFault(stage, voicing, { universe, guides: wanted }, reference, surroundings);
}

/** Strategies whose members may do without one guide tone or the other. */
const thirdless: readonly StrategyId[] = ['fourths', 'hybrid'];

function contentFault(
  stage: Stage,
  voicing: readonly number[],
  { universe, guides }: Allowed,
  reference: Reference,
  { lines = [], bass = 'own', most = 0 }: Surroundings,
): Fault {
  if (voicing.length === 0) return 'no voicing sounds';
  const says = `${namesOf(voicing)} for ${reference.symbol}`;
  const sounding = setOfNotes(voicing);
  const given = setOfNotes(reference.notes);
  const foreign = sounding & ~(universe | given);
  if (foreign !== 0) return `${says}: ${pitchClassNames(foreign)} is foreign`;
  const beneath = typeof bass === 'number' ? [bass] : [];
  const missing = guides & ~(sounding | setOfNotes([...lines, ...beneath]));
  if (
    thirdless.includes(stage.preset.strategy) ? missing === guides && guides !== 0 : missing !== 0
  )
    return `${says}: ${pitchClassNames(missing)} is missing`;
  const beside = lines.length + (typeof bass === 'number' ? 1 : 0);
  const fewest = Math.max(2, reference.notes.length - beside - (beside > 0 ? 1 : 0));
  if (voicing.length < fewest) return `${says}: only ${voicing.length} voices`;
  const own = stage.preset.bass.policy === 'none' ? 0 : 1;
  if (voicing.length > Math.max(reference.notes.length, stage.preset.voices + own, most)) {
    return `${says}: ${voicing.length} notes are more than the voicing has`;
  }
  const wrongBass = bassFault(stage, voicing, reference, bass);
  return wrongBass && `${says}: ${wrongBass}`;
}

/** Two chords heard as one: the same, for all their keys together. Undefined where they have no name. */
export function jointFault(
  stage: Stage,
  voicing: readonly number[],
  notes: readonly number[],
  reference: Reference,
  surroundings: Surroundings = {},
): Fault {
  const harmony = harmonyOf(stage.preset, stage.key, notes);
  if (harmony === undefined) return 'together they have no name';
  return contentFault(stage, voicing, allowedFor(stage, notes), reference, surroundings);
}

export function isTone({ root, tones }: Meant, note: number): boolean {
  return tones.some((tone) => (root + tone) % 12 === note % 12);
}

/** The chord may sound with this note, as the preset grows it. */
export function mayHave(stage: Stage, chord: Meant, note: number): boolean {
  return has(allowedFor(stage, plainNotes(chord), chord.root).universe, note % 12);
}

export function hasPitchClass(notes: readonly number[], note: number): boolean {
  return has(setOfNotes(notes), note % 12);
}

// --- striking -----------------------------------------------------------------------------------

/**
 * Whatever is struck in this time is struck once and still rings at its end, but for what is withdrawn
 * within `passing`.
 */
export function onceFault(
  heard: Pick<Heard, 'strikes'>,
  from: number,
  to: number,
  passing = 0,
): Fault {
  const all = heard.strikes(from, to);
  const struck = all.filter((span) => span.to > to || span.to - span.from > passing);
  const notes = struck.map((span) => span.note);
  const twice = notes.find((note, place) => notes.indexOf(note) < place);
  if (twice !== undefined) return `${nameOf(twice)} is struck twice`;
  const gone = struck.find((span) => span.to <= to);
  return gone && `${nameOf(gone.note)} is struck and withdrawn after ${lasted(gone)}`;
}

function lasted({ from, to }: Span): string {
  return inMilliseconds(to - from);
}

/** Nothing is struck in this time but these keys, each at its pitch. */
export function onlyFault(
  heard: Heard,
  from: number,
  to: number,
  strokes: readonly Stroke[],
): Fault {
  const other = heard
    .strikes(from, to)
    .find(
      (span) =>
        !strokes.some(
          ({ note, at }) => note === span.note && span.from >= at && span.from <= at + ceiling,
        ),
    );
  return other && `${nameOf(other.note)} is struck, which nobody played`;
}

/** All of these ring all the time. */
export function ringOnFault(
  heard: Heard,
  notes: readonly number[],
  from: number,
  to: number,
): Fault {
  for (const at of heard.changes(from, to)) {
    const ringing = heard.ringing(at);
    const gone = notes.find((note) => !ringing.includes(note));
    if (gone !== undefined) return `${nameOf(gone)} of the chord is silent`;
  }
  return undefined;
}

/** No voice on the pitch of the line or a semitone beside it. */
export function besideFault(voicing: readonly number[], line: number): Fault {
  const near = voicing.find((note) => Math.abs(note - line) <= 1);
  if (near === undefined) return undefined;
  return near === line
    ? `a voice doubles ${nameOf(line)}`
    : `${nameOf(near)} lies a semitone beside ${nameOf(line)}`;
}

export function beneathFault(voicing: readonly number[], line: number): Fault {
  const above = voicing.find((note) => note > line);
  return above === undefined ? undefined : `${nameOf(above)} lies above ${nameOf(line)}`;
}

/** What rings without these notes. */
export function without(notes: readonly number[], lines: readonly number[]): number[] {
  return notes.filter((note) => !lines.includes(note));
}

/** When a chord has had its time: after the last key and the ceiling, while every key is down. */
export function settled({ lastAt, firstUp }: Pick<Block, 'lastAt' | 'firstUp'>): number {
  return Math.min(lastAt + ceiling, firstUp() - 1);
}
