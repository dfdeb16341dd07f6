/**
 * What a learned preset makes of the plain triads of its chords, as they are played on the stage: led
 * from chord to chord in the stage's key. Where that is far from what was played, or depends on what
 * sounded before as parallels do, voicings are kept for the triads besides, by their type or degree, in place of what they would have grown to.
 */
import type { Key } from '../harmony/key/key.ts';
import type { Preset } from '../presets/preset.ts';
import { findBrokenRules } from '../presets/rules.ts';
import type { Kept } from '../voicing/kept.ts';
import type { DescribedChord } from './describe.ts';
import { keptAsPlayed, shapedPresets } from './learn-shapes.ts';
import { triadOf } from './plain-chord.ts';
import { createReplay, type Match, matchOf } from './replay.ts';
import { whereHeard } from './where-heard.ts';

export type ForTriads = {
  readonly preset: Preset;
  readonly match: Match;
  /** Voicings for triads were kept. */
  readonly isKept: boolean;
};

/** By so much of the chords it has to be nearer to be worth a list of voicings. */
const clearly = 0.1;

/** Played again: what leads to the first chord is the last one. */
function matchAgain(
  preset: Preset,
  chords: readonly DescribedChord[],
  key: Key | undefined,
): Match {
  const again = createReplay(preset, key).voice([...chords, ...chords].map(triadOf), 'stage');
  return matchOf(chords, again.slice(chords.length));
}

/**
 * Voicings that are kept for triads, and what was played otherwise where more than a triad was. A triad's
 * own voicing is met by all that it sounds.
 */
function withAsPlayed(
  own: readonly Kept[],
  learned: Preset,
  chords: readonly DescribedChord[],
  key: Key | undefined,
): readonly Kept[] {
  const scope = own[0]?.for ?? 'type';
  const soundOf = ({ bass, upper }: Kept): string => [bass, ...upper].join(' ');
  const known = new Set([...(learned.kept ?? []).map(({ chord }) => chord), ...own.map(soundOf)]);
  const more = keptAsPlayed(learned, chords, scope, key).filter(
    (each) => !known.has(each.chord) && !known.has(soundOf(each)),
  );
  return [...own, ...more];
}

/**
 * In the registers that were heard, where that comes as near to what was played.
 * @param key the one on the stage; voicings are kept for its degrees.
 */
export function forTriads(
  learned: Preset,
  chords: readonly DescribedChord[],
  key: Key | undefined,
): ForTriads {
  const best = bestForTriads(learned, chords, key);
  for (const preset of whereHeard(best.preset, chords)) {
    const match = matchAgain(preset, chords, key);
    if (match.alike >= best.match.alike) return { ...best, preset, match };
  }
  return best;
}

function bestForTriads(
  learned: Preset,
  chords: readonly DescribedChord[],
  key: Key | undefined,
): ForTriads {
  const triads = chords.map((chord) => ({ ...chord, ...triadOf(chord) }));
  const first: ForTriads = {
    preset: learned,
    match: matchAgain(learned, chords, key),
    isKept: false,
  };
  // What moves in parallel has the shape of whatever chord came first; what is kept has its own.
  const isParallel = learned.parallel !== undefined;
  if (first.match.alike === chords.length && !isParallel) return first;
  const isBetter = (best: ForTriads, each: ForTriads): boolean =>
    isParallel && !best.isKept
      ? each.match.alike >= best.match.alike
      : each.match.alike > best.match.alike + clearly * chords.length;
  return shapedPresets(learned, triads, key)
    .kept.flatMap(({ preset: { kept: own = [] } }): readonly Preset[] => {
      const { parallel: _, shape: __, movement: ___, ...plain } = learned;
      const kept = [...(learned.kept ?? []), ...withAsPlayed(own, learned, chords, key)];
      // A shape goes on to play what is no triad, and chords that were not in the passage.
      return learned.shape === undefined || isParallel
        ? [{ ...plain, kept }]
        : [
            { ...learned, kept },
            { ...plain, kept },
          ];
    })
    .filter((preset) => findBrokenRules(preset).length === 0)
    .map((preset) => ({ preset, match: matchAgain(preset, chords, key), isKept: true }))
    .reduce((best, each) => (isBetter(best, each) ? each : best), first);
}
