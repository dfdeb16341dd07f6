/**
 * The description a changed copy gets while nobody has written one: strategy, number of voices and
 * bass in the words of the trade, so that it never speaks of the preset it was copied from.
 */
import { capitalised, numberWord } from '../../common/words.ts';
import type { Preset } from '../../presets/preset.ts';
import { strategyById } from '../../voicing/strategies.ts';

const bassWords: { readonly [P in Preset['bass']['policy']]: string } = {
  none: 'without bass',
  root: 'over the root',
  third: 'over the third',
  fifth: 'over the fifth',
  seventh: 'over the seventh',
  'as-played': 'over your lowest note',
  pedal: 'over a pedal',
  line: 'over a walking bass',
};

/** 'Four-part fourths over the third'. */
export function describePreset({ strategy, voices, bass }: Preset): string {
  return `${capitalised(numberWord(voices))}-part ${strategyById(strategy).name} ${bassWords[bass.policy]}`;
}
