/** A preset learned from what hands have played in a take, judged as the stage would play it. */
import type { Analysis } from '../../analyse/analyse.ts';
import { type ForTriads, forTriads } from '../../analyse/for-triads.ts';
import { type Learned, learn } from '../../analyse/learn.ts';
import { textureOf } from '../../analyse/learned-text.ts';
import { analysePlayed, asVoiced, lastTexture } from '../../analyse/played-passage.ts';
import type { Match } from '../../analyse/replay.ts';
import { given } from '../../common/given.ts';
import type { Result } from '../../common/result.ts';
import type { Key } from '../../harmony/key/key.ts';
import type { Metre } from '../../midi/metre.ts';
import type { Preset } from '../../presets/preset.ts';
import type { Take } from '../../take/take.ts';
import { aboutLearned } from './learn-preset.ts';

export type LearnedFromTake = {
  /** Without a name of its own. */
  readonly preset: Preset;
  /** 'fourths over the third, 3 voices in E3-C5'. */
  readonly texture: string;
  /** Of their plain triads, led from chord to chord in the stage's key. */
  readonly match: Match;
  /** Chords before these, in another texture. */
  readonly before: number;
  /** None was set, this one is clearly heard, and in it the triads come nearer; else absent. */
  readonly keyHeard?: Key;
};

/**
 * A key that is heard is taken where it is nearer by so much than the next, in correlation: of our own
 * passages a tenth of the right ones is not, and one of six wrong ones is. Common practice, no source.
 */
const clearLead = 0.3;

/** Without a key a fifth degree is no dominant: in the one that is heard, where that comes nearer. */
function inBestKey(
  learned: Preset,
  { chords, key: heard, keyLead }: Analysis,
  key: Key | undefined,
): ForTriads & { readonly keyHeard?: Key } {
  const own = forTriads(learned, chords, key);
  const isClear = key === undefined && heard !== undefined && keyLead >= clearLead;
  if (!isClear || own.match.alike === chords.length) return own;
  const inHeard = forTriads(learned, chords, heard);
  return inHeard.match.alike > own.match.alike ? { ...inHeard, keyHeard: heard } : own;
}

export type StageKey = {
  readonly key: Key | undefined;
  /** The player has set it: what is played is read in it. */
  readonly isKeySet: boolean;
  readonly metre: Metre | undefined;
  /** Of a marked stretch its beginning, in the take's microseconds: all of it is learned from. */
  readonly since?: number;
  /** What was played earlier is not looked at; of what came since, the last texture. */
  readonly heardSince?: number;
  /** Presets that there are. */
  readonly known: readonly Preset[];
};

function from(take: Take, since: number): Take {
  return { ...take, events: take.events.filter(({ atMicroseconds }) => atMicroseconds >= since) };
}

/** The problem is a sentence for the player. */
export function learnFromTake(
  take: Take,
  { key, isKeySet, metre, since, heardSince, known }: StageKey,
): Result<LearnedFromTake> {
  const read = { ...given('key', isKeySet ? key : undefined), ...given('metre', metre) };
  const earliest = since ?? heardSince;
  const whole = analysePlayed(earliest === undefined ? take : from(take, earliest), read);
  if (!whole.ok) return whole;
  const analysis = asVoiced(since === undefined ? lastTexture(whole.value) : whole.value);
  const { chords } = analysis;
  const found = learn(analysis, false, known);
  const { preset: own, match, isKept, keyHeard } = inBestKey(found.preset, analysis, key);
  const isByKept = isKept && own.shape === undefined;
  const learned: Learned = { ...found, preset: own, ...(isByKept && { by: 'kept' }) };
  const texture = textureOf(learned);
  const preset = { ...own, about: aboutLearned('your own playing', learned) };
  const before = whole.value.chords.length - chords.length;
  return { ok: true, value: { preset, texture, match, before, ...given('keyHeard', keyHeard) } };
}
