/**
 * What it costs to go from one voicing to the next. The live choice takes the cheapest next one, the
 * best path the cheapest whole; both add up the same terms, each with its name, weight and reason,
 * so that each can be argued about. All terms are zero or more: the least a move can cost is 0.
 * That lines move efficiently and without crossing: D. Tymoczko, 'The Geometry of Musical Chords',
 * Science 313 (2006). That small steps hold a line together and leaps split it: D. Huron, 'Tone and
 * Voice', Music Perception 19 (2001). Weights: common practice tuned by reading results, no source.
 */
import data from '../../shared/voicing-limits.json' with { type: 'json' };
import { widestGap } from './constraints.ts';
import type { Term } from './cost-term.ts';
import { motionBetween } from './motion.ts';
import { measureParts, partTerms } from './part-writing.ts';
import { effortFor } from './players.ts';
import type { Register } from './register.ts';
import type { Frame, Voicing } from './voicing.ts';

/** Terms of a move in any texture, in the order in which `measure` fills them in. */
const ownTerms: readonly Term[] = [
  {
    name: 'motion',
    weight: 1,
    unit: 'semitones, all upper voices together',
    reason: 'Efficient lines: the hand and the ear follow what moves little.',
  },
  {
    name: 'uneven motion',
    weight: 0.04,
    unit: 'squares of semitones, added up',
    reason: 'Several small steps rather than one voice that takes it all.',
  },
  {
    name: 'moved voices',
    weight: 0.5,
    unit: 'voices that move at all',
    reason: 'Common tones are free: what two chords share binds them.',
  },
  {
    name: 'top leap',
    weight: 1,
    unit: 'semitones of the top voice beyond a whole step',
    reason: 'The top voice is heard as the melody: it goes by step.',
  },
  {
    name: 'broken top',
    weight: 12,
    unit: 'leaps of the top voice beyond a fifth',
    reason: 'A leap of more than a fifth is another melody: no saving elsewhere is worth it.',
  },
  {
    name: 'frozen top',
    weight: 1.6,
    unit: 'top voices that stay while the root moves',
    reason: 'A top voice that never moves is no melody; a step is better than a third repeat.',
  },
  {
    name: 'inner leap',
    weight: 1,
    unit: 'semitones of any upper voice beyond a fifth',
    reason: 'A leap of more than a fifth breaks the line.',
  },
  {
    name: 'overlap',
    weight: 1,
    unit: 'voices that pass where their neighbour stood',
    reason: 'An ear follows the pitch, not the part: overlapping voices change places.',
  },
  {
    name: 'seventh unresolved',
    weight: 2,
    unit: 'sevenths neither held nor down a step where the root falls a fifth or a semitone',
    reason: 'Guide tones move by step: R. Hutchinson, section 31.7.',
  },
  {
    name: 'leading note unresolved',
    weight: 1.5,
    unit: "a dominant's thirds neither held nor moved by a semitone, as above",
    reason: 'The tritone resolves by step in both its tones.',
  },
  {
    name: 'bass leap',
    weight: 0.25,
    unit: 'semitones of the bass beyond a whole step',
    reason: 'The bass may leap, yet a step or a nearer octave sings better.',
  },
  {
    name: 'awkward bass leap',
    weight: 1.5,
    unit: 'bass leaps of a minor sixth or more that are no octave',
    reason: 'Fourths, fifths and octaves are a bass; sixths and sevenths are accidents.',
  },
  {
    name: 'broken bass step',
    weight: 20,
    unit: 'seconds between the basses of two chords that are played as a seventh or a ninth',
    reason: 'A bass that goes by step in writing goes by step in sound: a line, not two places.',
  },
  {
    name: 'outer voices together',
    weight: 0.7,
    unit: 'moves of top and bass in the same direction',
    reason: 'Contrary or oblique motion keeps top and bass apart to the ear.',
  },
];

/** All of them, those of four parts last. */
export const terms: readonly Term[] = [...ownTerms, ...partTerms];

const place = {
  motion: 0,
  uneven: 1,
  moved: 2,
  topLeap: 3,
  brokenTop: 4,
  frozenTop: 5,
  innerLeap: 6,
  overlap: 7,
  seventh: 8,
  leadingNote: 9,
  bassLeap: 10,
  awkwardBass: 11,
  brokenBass: 12,
  together: 13,
} as const;

/**
 * A lead that is doubled is the melody, and sings: that it stays counts as much more. All voices of a
 * block move with it, which otherwise is dearer than a tone that is held through a whole line.
 */
const frozenLead = 6;

const step = 2;
const fifth = 7;
const octave = 12;

const measured = new Float64Array(terms.length);

function measureUpper(from: readonly number[], to: readonly number[]): void {
  const count = from.length;
  for (let voice = 0; voice < count; voice += 1) {
    const here = from[voice] ?? 0;
    const there = to[voice] ?? 0;
    const distance = Math.abs(there - here);
    if (distance === 0) continue;
    add(place.motion, distance);
    add(place.uneven, distance * distance);
    add(place.moved, 1);
    if (distance > fifth) add(place.innerLeap, distance - fifth);
    const isPastUpper = voice + 1 < count && there > (from[voice + 1] ?? 0);
    const isPastLower = voice > 0 && there < (from[voice - 1] ?? 0);
    if (isPastUpper || isPastLower) add(place.overlap, 1);
  }
}

function add(index: number, amount: number): void {
  measured[index] = (measured[index] ?? 0) + amount;
}

/** True when the notes hold one of the places where `note` may go: itself or a step on. */
function goesTo(notes: readonly number[], note: number, down: number, up: number): boolean {
  for (const each of notes) if (each >= note - down && each <= note + up) return true;
  return false;
}

/** True where the root goes so that what wants to move resolves: down a fifth or a semitone. */
function isResolving(last: Voicing, next: Voicing): boolean {
  const fall = (last.tendencies.root - next.tendencies.root + 12) % 12;
  return fall === fifth || fall === 1;
}

function addOfParts(term: number, amount: number): void {
  add(ownTerms.length + term, amount);
}

function measureTendencies(last: Voicing, next: Voicing): void {
  for (const note of last.tendencies.sevenths) {
    if (!goesTo(next.upper, note, step, 0)) add(place.seventh, 1);
  }
  for (const note of last.tendencies.leadingTones) {
    if (!goesTo(next.upper, note, 1, 1)) add(place.leadingNote, 1);
  }
}

/** True for a second, whatever octaves lie between. */
function isStepAway(semitones: number): boolean {
  const above = ((semitones % octave) + octave) % octave;
  return above === 1 || above === 2 || above === 10 || above === 11;
}

function measureFrozen(last: Voicing, next: Voicing): void {
  if (last.tendencies.root === next.tendencies.root) return;
  add(place.frozenTop, next.technique === 'block' ? frozenLead : 1);
}

function measureOuter(last: Voicing, next: Voicing): void {
  const top = (next.upper.at(-1) ?? 0) - (last.upper.at(-1) ?? 0);
  if (Math.abs(top) > step) add(place.topLeap, Math.abs(top) - step);
  if (Math.abs(top) > fifth) add(place.brokenTop, 1);
  if (top === 0) measureFrozen(last, next);
  if (last.bass === undefined || next.bass === undefined) return;
  const bass = next.bass - last.bass;
  if (Math.abs(bass) > step) add(place.bassLeap, Math.abs(bass) - step);
  if (Math.abs(bass) > fifth && Math.abs(bass) !== octave) add(place.awkwardBass, 1);
  if (Math.abs(bass) > fifth && isStepAway(bass)) add(place.brokenBass, 1);
  if (top * bass > 0) add(place.together, 1);
}

function measure(last: Voicing, next: Voicing): void {
  measured.fill(0);
  if (last.upper.length === next.upper.length) measureUpper(last.upper, next.upper);
  else add(place.motion, motionBetween(last.upper, next.upper));
  const resolves = isResolving(last, next);
  if (resolves) measureTendencies(last, next);
  measureOuter(last, next);
  measureParts(last, next, resolves, addOfParts);
}

/** Cost of the move itself; 0 or more. */
export function moveCost(last: Voicing, next: Voicing): number {
  measure(last, next);
  let cost = 0;
  for (let index = 0; index < terms.length; index += 1) {
    cost += (measured[index] ?? 0) * (terms[index]?.weight ?? 0);
  }
  return cost;
}

/** The terms that cost something in a move, with what each costs. */
export function explainMove(
  last: Voicing,
  next: Voicing,
): readonly { readonly term: Term; readonly cost: number }[] {
  measure(last, next);
  return terms.flatMap((term, index) => {
    const cost = (measured[index] ?? 0) * term.weight;
    return cost > 0 ? [{ term, cost }] : [];
  });
}

/** Costs of standing where it stands, whatever came before; weights in cost per semitone. */
const standing = {
  /** Register drift: each voicing leans to the middle of its register. */
  upperPlace: 0.3,
  bassPlace: 0.06,
  /** Within this far of the middle there is no pull. */
  freeUpperPlace: 3,
  /** Wide gaps hollow a voicing out before they are forbidden. */
  wideGap: 0.5,
  /** Beyond an octave and a fifth over the bass, and beyond two octaves as well. */
  bassGap: 0.1,
  wideBassGap: 1.2,
  /** A note beyond what is comfortable for its player, each semitone. */
  effort: 0.8,
  /** A minor ninth over the bass itself, which a flat ninth may be, is harsh; an octave more softens it. */
  ninthOverBass: 3,
} as const;

const minorNinth = data.limits.minorNinth.value;

const { comfortableUpperGap, closeBassGap, comfortableBassGap } = data.limits;

function centroid(notes: readonly number[]): number {
  let sum = 0;
  for (const note of notes) sum += note;
  return sum / Math.max(1, notes.length);
}

function middleOf({ lowest, highest }: Register): number {
  return (lowest + highest) / 2;
}

/** Of the register; where every voice has its player, of what is comfortable for the upper ones. */
function upperMiddle({ upper, players }: Frame, voices: number): number {
  if (players === undefined) return middleOf(upper);
  return centroid(players.slice(-voices).map(({ comfortable }) => middleOf(comfortable)));
}

function effortCost({ notes }: Voicing, { players }: Frame): number {
  if (players === undefined) return 0;
  const effort = effortFor(notes, players);
  return effort === Number.POSITIVE_INFINITY ? 0 : effort * standing.effort;
}

/** Cost of the voicing for what it is and where it stands; 0 or more, made once per candidate. */
export function standingCost(voicing: Voicing, frame: Frame): number {
  const { bass, upper } = voicing;
  const middle = upperMiddle(frame, upper.length);
  const away = Math.abs(centroid(upper) - middle);
  const drift = Math.max(0, away - standing.freeUpperPlace) * standing.upperPlace;
  const gap = Math.max(0, widestGap(upper) - comfortableUpperGap.value) * standing.wideGap;
  // A whisper of pull even near the middle, so that equals are never settled by list order.
  const base = voicing.price + drift + away * 0.02 + gap + effortCost(voicing, frame);
  if (bass === undefined) return base;
  const bassMiddle = middleOf(frame.players?.[0]?.comfortable ?? frame.bass);
  const bassGap = (upper[0] ?? 0) - bass;
  const hollow =
    Math.max(0, bassGap - closeBassGap.value) * standing.bassGap +
    Math.max(0, bassGap - comfortableBassGap.value) * standing.wideBassGap;
  const harsh = upper.includes(bass + minorNinth) ? standing.ninthOverBass : 0;
  return base + Math.abs(bass - bassMiddle) * standing.bassPlace + hollow + harsh;
}
