/**
 * Shapes of a player's own: degrees from the lowest up, each the next such tone above the one before,
 * an apostrophe for an octave more; what stands before a slash is the bass. On another chord each
 * degree becomes that chord's own: 3 is its third, 7 its seventh or sixth, 5 its fifth, a tension the
 * nearest that the chord has; a tone that has none is replaced by the nearest chord tone and said.
 * Several shapes stand apart by '|', and compete.
 */
import { counted } from '../common/words.ts';
import type { Harmony, Palette } from '../harmony/chord/palette.ts';
import { type Degree, isDegree, semitonesOf } from '../harmony/pitch/degree.ts';
import { has, membersOf, type PitchClassSet } from '../harmony/pitch/pitch-class-set.ts';
import { bassesOf, over, type Upper } from './bass.ts';
import type { Candidates } from './choose.ts';
import { keepsLowIntervalLimits, keepsMinorNinths } from './constraints.ts';
import { standingCost } from './leading.ts';
import type { Register } from './register.ts';
import { notesOf } from './stack.ts';
import { tendenciesOf } from './tendencies.ts';
import type { Frame, StrategyId, Voicing } from './voicing.ts';

export const shapeMovements = ['led', 'taken', 'through-scale'] as const;
/**
 * The shape or its turns, whichever moves least; always as it was taken; or with every voice so many
 * chord tones or tensions on, whichever moves least.
 */
export type ShapeMovement = (typeof shapeMovements)[number];

export type ShapeTone = {
  readonly degree: Degree;
  /** Octaves above the next such tone. */
  readonly octaves: number;
};

export type Shape = {
  /** As it is written, one blank between. */
  readonly text: string;
  /** Absent: the preset's bass stands below it. */
  readonly bass?: ShapeTone;
  readonly upper: readonly ShapeTone[];
};

export type ParsedShapes =
  | { readonly ok: true; readonly value: readonly Shape[] }
  /** No full stop. */
  | { readonly ok: false; readonly problem: string };

/** 2 is a 9 to an ear; other names of the same tones likewise. */
const otherNames: Readonly<Record<string, Degree>> = {
  '2': '9',
  b2: 'b9',
  '#2': '#9',
  '#4': '#11',
  b6: 'b13',
};

const example = "give degrees from the lowest up, such as '1 5 9 b3 b7'";

function toneOf(word: string): ShapeTone | undefined {
  const [, name = '', marks = ''] = /^([#b♯♭]*\d+)('*)$/u.exec(word) ?? [];
  const plain = name.replaceAll('♯', '#').replaceAll('♭', 'b');
  const degree = otherNames[plain] ?? plain;
  return isDegree(degree) ? { degree, octaves: marks.length } : undefined;
}

function parseShape(text: string): ParsedShapes {
  const words = text.trim().split(/\s+/).filter(Boolean);
  const slash = words.indexOf('/');
  const fault = words.find((word, place) => place !== slash && toneOf(word) === undefined);
  if (fault !== undefined) return { ok: false, problem: `'${fault}' is no degree; ${example}` };
  const tones = words.flatMap((word) => toneOf(word) ?? []);
  const upper = slash < 0 ? tones : tones.slice(1);
  if (slash >= 0 && slash !== 1) {
    return { ok: false, problem: `One degree stands before the slash, the bass: '3 / 1 11 7'` };
  }
  if (upper.length < 2) return { ok: false, problem: `A shape has two voices or more; ${example}` };
  const [bass] = tones;
  const own = slash >= 0 && bass !== undefined ? { bass } : {};
  return { ok: true, value: [{ text: words.join(' '), ...own, upper }] };
}

/** Never throws. */
export function parseShapes(text: string): ParsedShapes {
  const shapes: Shape[] = [];
  for (const each of text.split('|')) {
    const parsed = parseShape(each);
    if (!parsed.ok) return parsed;
    shapes.push(...parsed.value);
  }
  return { ok: true, value: shapes };
}

/** Tones that may stand for each other, as semitones above the root, the plain one first. */
const kin: readonly (readonly number[])[] = [
  [4, 3],
  [7, 6, 8],
  [10, 11, 9],
];
const tensionKin: readonly (readonly number[])[] = [
  [2, 1, 3],
  [5, 6],
  [9, 8],
];
const chordDegrees: readonly (readonly Degree[])[] = [
  ['b3', '3'],
  ['b5', '5', '#5'],
  ['bb7', 'b7', '7', '6'],
];
const tensionDegrees: readonly (readonly Degree[])[] = [
  ['b9', '9', '#9'],
  ['4', '11', '#11'],
  ['b13', '13'],
];

/** Semitones of each voice above the lowest, on a chord that has each degree as it is called. */
function plainHeights(tones: readonly ShapeTone[]): readonly number[] {
  return heights(tones.map(({ degree, octaves }) => ({ tone: semitonesOf(degree), octaves }))).map(
    (height, _, [lowest = 0]) => height - lowest,
  );
}

/** What each group of degrees is on any chord, and what to write for a tension of that name. */
const groupNames = [
  { name: 'third', instead: '#9' },
  { name: 'fifth', instead: '#11 or b13' },
  { name: 'seventh or sixth', instead: '13' },
] as const;

/** Two degrees that every chord has one tone for. */
function sameToneProblem({ text, bass, upper }: Shape): string {
  const degrees = [...(bass === undefined ? [] : [bass]), ...upper].map(({ degree }) => degree);
  for (const [place, group] of chordDegrees.entries()) {
    const [one, other] = [...new Set(degrees.filter((degree) => group.includes(degree)))];
    const row = groupNames[place];
    if (one === undefined || other === undefined || row === undefined) continue;
    return `${one} and ${other} of '${text}' are one and the same tone of a chord, its ${row.name}; take one out, or write ${row.instead} for the tension`;
  }
  const isChord = degrees.some(
    (degree) => degree === '1' || chordDegrees.some((group) => group.includes(degree)),
  );
  return isChord
    ? ''
    : `'${text}' names no chord, since ${degrees.join(', ')} are tensions; add 1, 3, 5 or 7`;
}

/** What is wrong with shapes as they stand written, in a register; '' when nothing is. No full stop. */
export function shapeProblem(text: string, { lowest, highest }: Register): string {
  const parsed = parseShapes(text);
  if (!parsed.ok) return parsed.problem;
  const same = parsed.value.map(sameToneProblem).find((problem) => problem !== '');
  if (same !== undefined) return same;
  const room = highest - lowest;
  for (const { text: shape, upper } of parsed.value) {
    const above = plainHeights(upper);
    const span = above.at(-1) ?? 0;
    if (span <= room) continue;
    const first = upper[above.findIndex((height) => height > room)];
    const tone = first === undefined ? '' : `${first.degree}${"'".repeat(first.octaves)}`;
    return `'${shape}' spans ${span} semitones above its bass, and the register of the upper voices only ${room}, too few from ${tone} on; widen 'upper' to ${span}, or write its lowest tone before a slash as the bass`;
  }
  return '';
}

type Own = { readonly tone: number; readonly isReplaced: boolean };

function distance(one: number, other: number): number {
  const up = (one - other + 12) % 12;
  return Math.min(up, 12 - up);
}

/** The chord's own tone for a degree, in semitones above the root. */
export function ownTone(degree: Degree, palette: Palette): Own {
  const { chordTones, tensions, universe, guides } = palette;
  const meant = semitonesOf(degree);
  if (degree === '1') return { tone: 0, isReplaced: false };
  const chordKin = kin[chordDegrees.findIndex((group) => group.includes(degree))];
  const own = chordKin?.find((tone) => has(chordTones, tone));
  if (own !== undefined) return { tone: own, isReplaced: false };
  if (chordKin === undefined && has(universe, meant) && !has(guides, meant)) {
    return { tone: meant, isReplaced: false };
  }
  const others = tensionKin[tensionDegrees.findIndex((group) => group.includes(degree))] ?? [];
  const free = (tensions | chordTones) & ~guides;
  const near = [...others]
    .sort((one, other) => distance(one, meant) - distance(other, meant))
    .find((tone) => has(free, tone));
  if (near !== undefined) return { tone: near, isReplaced: false };
  const [nearest = 0] = nearestOf(meant, chordTones);
  return { tone: nearest, isReplaced: true };
}

/** Chord tones by how near they are to a tone, the nearest first. */
function nearestOf(meant: number, chordTones: PitchClassSet): readonly number[] {
  return membersOf(chordTones).sort(
    (one, other) => distance(one, meant) - distance(other, meant) || one - other,
  );
}

/**
 * The chord's own tone for each voice. One that is replaced is not made the tone of the voice beside
 * it, which would put that an octave up.
 */
function ownTones(upper: readonly ShapeTone[], palette: Palette): readonly Own[] {
  const own = upper.map(({ degree }) => ownTone(degree, palette));
  return own.map((each, voice) => {
    if (!each.isReplaced) return each;
    const beside = [own[voice - 1], own[voice + 1]].map((other) => other?.tone);
    const meant = semitonesOf(upper[voice]?.degree ?? '1');
    const tone = nearestOf(meant, palette.chordTones).find((other) => !beside.includes(other));
    return { ...each, tone: tone ?? each.tone };
  });
}

/** A tone of the chord for a voice, in semitones above the root. */
type Placed = { readonly tone: number; readonly octaves: number };
type Order = {
  readonly tones: readonly Placed[];
  readonly price: number;
  /** Behind the shape, in its label. */
  readonly said: string;
};

/**
 * Semitones of motion that a turn of the shape, a step through the scale, or a tone in place of its own
 * counts as; and what is too low to be clear where another octave has room: more than any motion.
 */
const prices = { turn: 1, step: 1, guide: 2, replaced: 3, mud: 1000 } as const;

/** The shortest way round. */
function stepsTo(place: number, count: number): number {
  return Math.min(place, count - place);
}

/** What becomes of a shape when its lowest tones go on top. */
function turnsOf(tones: readonly Placed[]): Order[] {
  return tones.map((_, turn) => ({
    tones: [...tones.slice(turn), ...tones.slice(0, turn)],
    price: stepsTo(turn, tones.length) * prices.turn,
    said: turn === 0 ? '' : ', turned',
  }));
}

/** Every voice as many tones on, among those that the chord has: its own tones and its tensions. */
function stepsThroughScale(tones: readonly Placed[], palette: Palette): Order[] {
  const scale = membersOf(palette.universe);
  const places = tones.map(({ tone }) => scale.indexOf(tone));
  const asIs: Order = { tones, price: 0, said: '' };
  if (places.includes(-1)) return [asIs];
  return scale.map((_, steps) => {
    const there = tones.map(({ octaves }, voice) => ({
      octaves,
      tone: scale[((places[voice] ?? 0) + steps) % scale.length] ?? 0,
    }));
    const missing = membersOf(palette.guides).filter(
      (guide) => !there.some(({ tone }) => tone === guide),
    );
    const price = stepsTo(steps, scale.length) * prices.step + missing.length * prices.guide;
    return steps === 0
      ? asIs
      : { tones: there, price, said: `, ${counted(steps, 'scale tone')} on` };
  });
}

/** The shape on this chord and, where it may move otherwise, what may become of it. */
function ordersOf({ upper }: Shape, movement: ShapeMovement, palette: Palette): Order[] {
  const own = ownTones(upper, palette);
  const tones = upper.map(({ octaves }, voice) => ({ tone: own[voice]?.tone ?? 0, octaves }));
  if (movement === 'taken') return [{ tones, price: 0, said: '' }];
  return movement === 'led' ? turnsOf(tones) : stepsThroughScale(tones, palette);
}

function heights(tones: readonly Placed[]): number[] {
  let before = 0;
  return tones.map(({ tone, octaves }, voice) => {
    const step = voice === 0 ? tone : ((tone - (before % 12) + 24) % 12 || 12) + before;
    before = step + 12 * (voice === 0 ? 0 : octaves);
    return before;
  });
}

/** Each place of a shape's upper voices in the register. */
function uppersOf(shape: Shape, movement: ShapeMovement, harmony: Harmony, register: Register) {
  const { palette, chord } = harmony;
  const replaced = ownTones(shape.upper, palette).flatMap(({ tone, isReplaced }, voice) =>
    isReplaced ? [{ tone, degree: shape.upper[voice]?.degree ?? '1' }] : [],
  );
  const said = replaced.map(({ tone, degree }) => {
    return `, ${palette.degreeAt[tone] ?? '1'} for ${degree}`;
  });
  const label = `own shape ${shape.text}${said.join('')}`;
  return ordersOf(shape, movement, palette).flatMap(({ tones, price, said: moved }): Upper[] => {
    const above = heights(tones);
    const [lowest = 0] = above;
    return notesOf((chord.root + lowest) % 12, register)
      .map((note) => above.map((height) => note + height - lowest))
      .filter((notes) => (notes.at(-1) ?? 128) <= register.highest)
      .filter((notes) => moved === '' || isClear(notes, harmony))
      .map((notes) => ({
        notes,
        price: price + replaced.length * prices.replaced,
        label: `${label}${moved}`,
      }));
  });
}

/** A shape that has been moved is the chord's own doing: no minor ninth comes of it, and no mud. */
function isClear(notes: readonly number[], harmony: Harmony): boolean {
  return keepsMinorNinths(notes, harmony) && keepsLowIntervalLimits(notes);
}

function members(
  shape: Shape,
  movement: ShapeMovement,
  harmony: Harmony,
  frame: Frame,
): readonly Voicing[] {
  const uppers = uppersOf(shape, movement, harmony, frame.upper);
  if (shape.bass === undefined) {
    return bassesOf(harmony, frame).flatMap((bass) => over(bass, uppers, harmony, '', 'freely'));
  }
  const { tone } = ownTone(shape.bass.degree, harmony.palette);
  const basses = notesOf((harmony.chord.root + tone) % 12, frame.bass);
  return uppers.flatMap(({ notes: upper, price, label = '' }) =>
    basses
      .filter((bass) => bass < (upper[0] ?? 0))
      .map((bass) => ({
        bass,
        upper,
        notes: [bass, ...upper],
        label,
        price,
        tendencies: tendenciesOf(upper, harmony),
      })),
  );
}

const known = new Map<string, readonly Shape[]>();

function shapesIn(text: string): readonly Shape[] {
  const before = known.get(text);
  if (before !== undefined) return before;
  const parsed = parseShapes(text);
  const shapes = parsed.ok ? parsed.value : [];
  known.set(text, shapes);
  return shapes;
}

type Widening = { readonly below: number; readonly above: number };

/**
 * Semitones by which registers give way, one after the other, before the strategy stands in: upwards
 * first, since what goes too low is the less clear.
 */
const widenings: readonly Widening[] = [
  { below: 0, above: 0 },
  { below: 0, above: 3 },
  { below: 3, above: 3 },
  { below: 0, above: 6 },
  { below: 6, above: 6 },
];

function wider({ lowest, highest }: Register, { below, above }: Widening): Register {
  return { lowest: Math.max(0, lowest - below), highest: Math.min(127, highest + above) };
}

type Standing = { readonly voicing: Voicing; readonly standing: number };

/**
 * What the voicings of one shape cost where they stand. A shape is moved for the sake of the chord
 * before it alone: by where it stands, moved it costs its price more than as it is written. Moved over
 * a bass that makes mud of it, it is left out.
 */
function withStanding(
  voicings: readonly Voicing[],
  harmony: Harmony,
  frame: Frame,
): readonly Standing[] {
  const least = Math.min(...voicings.map(({ price }) => price));
  // A pedal belongs to no chord.
  const soundOf = ({ upper, notes }: Voicing) => (frame.bass.policy === 'pedal' ? upper : notes);
  const isMuddy = (voicing: Voicing) => !keepsLowIntervalLimits(soundOf(voicing));
  const written = voicings.filter(({ price }) => price === least);
  // How it is built is the player's word; in which octave it stands is not.
  const isMudMeant = written.every(isMuddy);
  const standingOf = (voicing: Voicing): number =>
    standingCost(voicing, frame) + (!isMudMeant && isMuddy(voicing) ? prices.mud : 0);
  const floor = Math.min(...written.map(standingOf));
  return voicings.flatMap((voicing) => {
    const standing = standingOf(voicing);
    const moved = voicing.price - least;
    if (moved === 0) return [{ voicing, standing }];
    if (!isClear(soundOf(voicing), harmony)) return [];
    return [{ voicing, standing: Math.max(standing, floor + moved) }];
  });
}

/** What a preset's shapes give for a chord; undefined where it has none, or none fits. */
export function shapeCandidates(
  {
    shape,
    movement = 'led',
    strategy,
  }: {
    readonly shape?: string | undefined;
    readonly movement?: ShapeMovement | undefined;
    readonly strategy: StrategyId;
  },
  harmony: Harmony,
  frame: Frame,
): Candidates | undefined {
  if (shape === undefined) return undefined;
  const { lead, ceiling = 127 } = frame;
  const isAllowed = ({ upper }: Voicing): boolean => {
    const top = upper.at(-1) ?? 0;
    return top <= ceiling && (lead === undefined || top === lead);
  };
  for (const by of widenings) {
    const bass = { ...frame.bass, ...wider(frame.bass, by) };
    const room = { ...frame, upper: wider(frame.upper, by), bass };
    const listed = shapesIn(shape).flatMap((each) => {
      const own = members(each, movement, harmony, room).filter(isAllowed);
      return withStanding(own, harmony, frame);
    });
    if (listed.length === 0) continue;
    const voicings = listed.map(({ voicing }) => voicing);
    const standing = Float64Array.from(listed, (each) => each.standing);
    return { voicings, standing, fallback: [], strategy, isOwn: true };
  }
  return undefined;
}
