/**
 * The description a changed copy gets while nobody has written one: strategy, number of voices and
 * bass in the words of the trade, so that it never speaks of the preset it was copied from.
 */
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

const counts = ['No', 'One', 'Two', 'Three', 'Four', 'Five', 'Six', 'Seven', 'Eight'];

/** 'Four-part fourths over the third'. */
export function describePreset({ strategy, voices, bass }: Preset): string {
  const count = counts[voices] ?? `${voices}`;
  return `${count}-part ${strategyById(strategy).name} ${bassWords[bass.policy]}`;
}
