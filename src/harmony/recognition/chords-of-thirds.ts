/**
 * Whole chords of thirds outweigh other names for their notes: Bb Db F over Ab is Bbm7 wherever it
 * stands, in any key and after any chord.
 */
import { type ChordType, chordTypes } from '../chord/chord-type.ts';
import { has, membersOf, type PitchClassSet, sizeOf } from '../pitch/pitch-class-set.ts';
import { isSixth, type Reading } from './reading.ts';

/** Score points on the scale of reading-table.ts: a key and a neighbour together, and a little. */
const advantage = 5.5;
/** Types as rare as this are named only where nothing plainer is there. */
const unusual = 0.8;

const ninths = (1 << 1) | (1 << 2);

function isStack(tones: PitchClassSet): boolean {
  const steps = membersOf(tones);
  const isThird = (step: number, index: number): boolean =>
    index === 0 || [3, 4].includes(step - (steps[index - 1] ?? 0));
  return (steps.length === 3 || steps.length === 4) && steps.every(isThird);
}

const ofThirds = chordTypes.map(({ tones }) => isStack(tones));
const ofNinths = chordTypes.map(
  ({ tones, rarity }) =>
    rarity < unusual &&
    sizeOf(tones & ninths) === 1 &&
    sizeOf(tones) > 3 &&
    isStack(tones & ~ninths),
);

function isWhole({ kind, type, omitted }: Reading, of: readonly boolean[]): boolean {
  return kind === 'chord' && omitted.length === 0 && of[type.index] === true;
}

function isDominant(type: ChordType): boolean {
  return has(type.required, 4) && has(type.required, 10);
}

/** Seventh chord and sixth chord of the same notes are equals. */
function isWholeSixth({ type, omitted }: Reading): boolean {
  return isSixth(type) && omitted.length === 0;
}

/** The upper tones of a dominant are a chord of thirds too: it may be the one that is meant. */
function isUpperPart({ type, omitted }: Reading): boolean {
  return omitted.includes('1') && isDominant(type);
}

function besideSevenths(readings: readonly Reading[]): ((reading: Reading) => boolean) | undefined {
  const wholes = readings.filter((reading) => isWhole(reading, ofThirds));
  if (wholes.length === 0) return undefined;
  const mayBeUpperPart = !wholes.some(({ type }) => isDominant(type));
  return (reading) =>
    !isWhole(reading, ofThirds) &&
    !isWholeSixth(reading) &&
    !(mayBeUpperPart && isUpperPart(reading));
}

/** Over its ninth a chord is rather a suspended one on that bass. */
function isOverNinth({ rootAboveBass }: Reading): boolean {
  return has(ninths, (12 - rootAboveBass) % 12);
}

function isFarFetched({ kind, type }: Reading): boolean {
  return kind !== 'chord' || type.rarity >= unusual;
}

function besideNinths(readings: readonly Reading[]): ((reading: Reading) => boolean) | undefined {
  const isNinth = (reading: Reading): boolean =>
    isWhole(reading, ofNinths) && !isOverNinth(reading);
  if (!readings.some(isNinth)) return undefined;
  return (reading) => !isNinth(reading) && (reading.omitted.includes('5') || isFarFetched(reading));
}

/**
 * Readings of one set, those that stand behind a whole chord of thirds with so much less score:
 * beside a triad or seventh chord every name that leaves a tone out, suspends the third or hears a
 * bass apart; beside a ninth chord the names without a fifth and those nobody would look for.
 */
export function behindThirds(readings: readonly Reading[]): readonly Reading[] {
  const isBehind = besideSevenths(readings) ?? besideNinths(readings);
  if (isBehind === undefined) return readings;
  return readings.map((reading) =>
    isBehind(reading)
      ? { ...reading, score: reading.score - advantage, behind: advantage }
      : reading,
  );
}
