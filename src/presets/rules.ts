/**
 * What a preset must be besides its schema: rules over several properties at once.
 * Each rule is a function from a preset to what it finds wrong; a new rule is one row of the table.
 */
import { capitalised, counted } from '../common/words.ts';
import { knownNames, parseEnsemble } from '../ensemble/ensemble.ts';
import { percussionChannel } from '../midi/specification.ts';
import { keptProblem } from '../voicing/kept.ts';
import { shapeProblem } from '../voicing/shapes.ts';
import { strategyById } from '../voicing/strategies.ts';
import { adviseNearest } from './nearest.ts';
import { formatNoteName } from './note-name.ts';
import type { Growth, Preset, Register } from './preset.ts';
import type { Finding } from './problem.ts';

/** `fault`: the message without what to do, which may be another thing elsewhere. */
export type Broken = Finding & { readonly fault: string };

type Rule = (preset: Preset) => Broken | undefined;

/** Twelve notes: every root once. */
export const narrowestBass = 11;

const withTensions: readonly Growth[] = ['ninths', 'thirteenths'];

const rules: readonly Rule[] = [
  ({ upper }) => runsUpwards('upper', upper),
  ({ bass }) => runsUpwards('bass', bass),
  ({ playing }) => (playing?.zone ? runsUpwards('playing.zone', playing.zone) : undefined),
  ({ playing }) => (playing?.zone ? holdsAChord(playing.zone) : undefined),
  ({ playing }) => {
    const { channels } = playing?.zone ?? {};
    return channels?.every((channel) => channel === percussionChannel)
      ? find(
          'playing.zone.channels',
          'No chord is read on channel 10, which General MIDI keeps for percussion',
          'give another channel',
        )
      : undefined;
  },
  ({ playing, lead, upper }) => {
    const { zone } = playing ?? {};
    if (zone === undefined || lead !== 'as-played') return undefined;
    return zone.highest < upper.lowest || zone.lowest > upper.highest
      ? find(
          'playing.zone',
          `The chord zone from ${formatNoteName(zone.lowest)} to ${formatNoteName(zone.highest)} lies outside the upper voices, ${formatNoteName(upper.lowest)} to ${formatNoteName(upper.highest)}, so that no lead can be kept as played`,
          'let them overlap',
        )
      : undefined;
  },
  ({ upper, strategy }) =>
    isWideEnough('upper', upper, strategyById(strategy).narrowestUpper, strategy),
  ({ bass }) =>
    bass.policy === 'none'
      ? undefined
      : isWideEnough('bass', bass, narrowestBass, 'a bass that reaches every root'),
  ({ bass, upper }) =>
    bass.policy !== 'none' && bass.lowest >= upper.lowest
      ? find(
          'bass.lowest',
          `${formatNoteName(bass.lowest)} is not below the upper voices, which begin at ${formatNoteName(upper.lowest)}`,
          "lower the bass or raise 'upper.lowest'",
        )
      : undefined,
  ({ strategy, voices }) => {
    const [fewest, most] = strategyById(strategy).voices;
    if (voices >= fewest && voices <= most) return undefined;
    const allowed = fewest === most ? `exactly ${fewest}` : `${fewest} to ${most}`;
    return find('voices', `${voices} does not suit '${strategy}'`, `give ${allowed}`);
  },
  ({ strategy, growth }) =>
    strategyById(strategy).needsTensions && !withTensions.includes(growth)
      ? find(
          'growth',
          `'${growth}' leaves '${strategy}' without the tensions it is built from`,
          'give ninths or thirteenths',
        )
      : undefined,
  ({ strategy, bass }) =>
    strategyById(strategy).isOnRoot && bass.policy !== 'root' && bass.policy !== 'none'
      ? find(
          'bass.policy',
          `'${bass.policy}' does not suit '${strategy}', which stands on the root by definition`,
          'give root or none',
        )
      : undefined,
  ({ bass }) =>
    bass.pedal !== undefined && bass.policy !== 'pedal'
      ? find(
          'bass.pedal',
          `A pedal has no effect while 'bass.policy' is ${bass.policy}`,
          'take it out, or give the policy pedal',
        )
      : undefined,
  ({ block, strategy }) =>
    block !== undefined && strategy !== 'block'
      ? find('block', `A form of block has no effect with '${strategy}'`, 'take it out')
      : undefined,
  ({ spread, strategy }) =>
    spread !== undefined && strategy !== 'spread'
      ? find('spread', `A form of spread has no effect with '${strategy}'`, 'take it out')
      : undefined,
  ({ lead, parallel }) =>
    (lead === 'as-played' || lead === 'contour') && parallel !== undefined
      ? find(
          'lead',
          `A lead ${lead === 'contour' ? 'that follows the hand' : 'as played'} and parallel leading contradict each other`,
          'take one of them out',
        )
      : undefined,
  ({ shape, upper }) => {
    const problem = shape === undefined ? '' : shapeProblem(shape, upper);
    return problem === '' ? undefined : find('shape', `The shape: ${problem}`, 'mend it');
  },
  ({ shape, movement }) =>
    movement !== undefined && shape === undefined
      ? find('movement', "A movement has no effect without a 'shape'", 'take it out')
      : undefined,
  ({ kept = [] }) => {
    const place = kept.findIndex((each) => keptProblem(each) !== '');
    const broken = kept[place];
    return broken === undefined
      ? undefined
      : find(`kept.${place}`, keptProblem(broken), 'mend it, or take it out');
  },
  ({ players, voices, bass }) => {
    if (players === undefined) return undefined;
    const parsed = parseEnsemble(players);
    if (!parsed.ok) {
      const advice = parsed.unknown === '' ? '' : adviseNearest(parsed.unknown, knownNames);
      return find(
        'players',
        `${capitalised(parsed.fault)}${advice}`,
        'name another, or take it out',
      );
    }
    const needed = voices + (bass.policy === 'none' ? 0 : 1);
    const named = parsed.value.parts.length;
    return named === needed
      ? undefined
      : find(
          'players',
          `${counted(named, 'player')} cannot have ${counted(needed, 'voice')}, one each`,
          'name as many players as there are voices and bass',
        );
  },
  ({ family, growth }) =>
    family !== undefined && growth === 'as-played'
      ? find(
          'family',
          "A family has no effect while 'growth' is as-played",
          'take it out, or let the chord grow to sevenths or further',
        )
      : undefined,
];

/** Everything the rules find wrong, in the order of the table. */
export function findBrokenRules(preset: Preset): readonly Broken[] {
  return rules.flatMap((rule) => rule(preset) ?? []);
}

/** `fault` begins the sentence and `remedy` ends it; neither has a full stop. */
function find(path: string, fault: string, remedy: string): Broken {
  return { path: path.split('.'), at: 'value', message: `${fault}; ${remedy}.`, fault };
}

function runsUpwards(path: string, { lowest, highest }: Register): Broken | undefined {
  return lowest <= highest
    ? undefined
    : find(
        path,
        `The register runs downwards, from ${formatNoteName(lowest)} to ${formatNoteName(highest)}`,
        "exchange 'lowest' and 'highest'",
      );
}

/** An octave: the least in which every close chord has a place. Definition. */
const narrowestZone = 12;

function holdsAChord({ lowest, highest }: Register): Broken | undefined {
  const width = highest - lowest;
  if (width < 0 || width >= narrowestZone) return undefined;
  return find(
    'playing.zone',
    `The chord zone from ${formatNoteName(lowest)} to ${formatNoteName(highest)} spans ${width} semitones, too few to hold a chord in`,
    'make it an octave or more',
  );
}

function isWideEnough(
  path: string,
  { lowest, highest }: Register,
  narrowest: number,
  purpose: string,
): Broken | undefined {
  const width = highest - lowest;
  if (width < 0 || width >= narrowest) return undefined;
  return find(
    path,
    `${formatNoteName(lowest)} to ${formatNoteName(highest)} spans ${width} semitones, too few for ${purpose}, which needs ${narrowest}`,
    "lower 'lowest' or raise 'highest'",
  );
}
