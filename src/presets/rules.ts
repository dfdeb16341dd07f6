/**
 * What a preset must be besides its schema: rules over several properties at once.
 * Each rule is a function from a preset to what it finds wrong; a new rule is one row of the table.
 */
import { formatNoteName } from './note-name.ts';
import type { Growth, Preset, Register, StrategyId } from './preset.ts';
import type { Finding } from './problem.ts';

type Rule = (preset: Preset) => Finding | undefined;

/** Voices above the bass each strategy can place: fewest, most. */
export const voicesOfStrategy: { readonly [S in StrategyId]: readonly [number, number] } = {
  close: [3, 5],
  'drop-2': [4, 4],
  fourths: [3, 3],
  hybrid: [3, 4],
  spread: [3, 5],
};

/**
 * Narrowest register of the upper voices in semitones. Computed from the definitions for close,
 * drop-2 and fourths: the narrowest in which every triad, sixth and seventh chord on every root has
 * at least one member (a test counts it again). hybrid is close position of the upper chord; spread
 * needs an octave and a third, so that tenths above the bass find room; common practice, no source.
 */
export const narrowestUpper: { readonly [S in StrategyId]: number } = {
  close: 11,
  'drop-2': 19,
  fourths: 14,
  hybrid: 11,
  spread: 16,
};

/** Twelve notes: every root once. */
export const narrowestBass = 11;

const withTensions: readonly Growth[] = ['ninths', 'thirteenths'];

const rules: readonly Rule[] = [
  ({ upper }) => runsUpwards('upper', upper),
  ({ bass }) => runsUpwards('bass', bass),
  ({ upper, strategy }) => isWideEnough('upper', upper, narrowestUpper[strategy], strategy),
  ({ bass }) =>
    bass.policy === 'none'
      ? undefined
      : isWideEnough('bass', bass, narrowestBass, 'a bass that reaches every root'),
  ({ bass, upper }) =>
    bass.policy !== 'none' && bass.lowest >= upper.lowest
      ? find(
          'bass.lowest',
          `${formatNoteName(bass.lowest)} is not below the upper voices, which begin at ${formatNoteName(upper.lowest)}; lower the bass or raise 'upper.lowest'.`,
        )
      : undefined,
  ({ strategy, voices }) => {
    const [fewest, most] = voicesOfStrategy[strategy];
    if (voices >= fewest && voices <= most) return undefined;
    const allowed = fewest === most ? `exactly ${fewest}` : `${fewest} to ${most}`;
    return find('voices', `${voices} does not suit '${strategy}'; give ${allowed}.`);
  },
  ({ strategy, growth }) =>
    (strategy === 'fourths' || strategy === 'hybrid') && !withTensions.includes(growth)
      ? find(
          'growth',
          `'${growth}' leaves '${strategy}' without the tensions it is built from; give ninths or thirteenths.`,
        )
      : undefined,
  ({ strategy, bass }) =>
    strategy === 'hybrid' && bass.policy === 'third'
      ? find(
          'bass.policy',
          "'third' puts back the third that 'hybrid' leaves out; give root or none.",
        )
      : undefined,
  ({ strategy, bass }) =>
    strategy === 'spread' && bass.policy !== 'root'
      ? find(
          'bass.policy',
          `'${bass.policy}' takes from 'spread' the root its tenths stand on; give root.`,
        )
      : undefined,
  ({ family, growth }) =>
    family !== undefined && growth === 'as-played'
      ? find(
          'family',
          "A family has no effect while 'growth' is as-played; take it out, or let the chord grow to sevenths or further.",
        )
      : undefined,
];

/** Everything the rules find wrong, in the order of the table. */
export function findBrokenRules(preset: Preset): readonly Finding[] {
  return rules.flatMap((rule) => rule(preset) ?? []);
}

function find(path: string, message: string): Finding {
  return { path: path.split('.'), at: 'value', message };
}

function runsUpwards(path: string, { lowest, highest }: Register): Finding | undefined {
  return lowest <= highest
    ? undefined
    : find(
        path,
        `The register runs downwards, from ${formatNoteName(lowest)} to ${formatNoteName(highest)}; exchange 'lowest' and 'highest'.`,
      );
}

function isWideEnough(
  path: string,
  { lowest, highest }: Register,
  narrowest: number,
  purpose: string,
): Finding | undefined {
  const width = highest - lowest;
  if (width < 0 || width >= narrowest) return undefined;
  return find(
    path,
    `${formatNoteName(lowest)} to ${formatNoteName(highest)} spans ${width} semitones, too few for ${purpose}, which needs ${narrowest}; lower 'lowest' or raise 'highest'.`,
  );
}
