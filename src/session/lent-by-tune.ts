/** The key and the metre of the tune on the stage: lent for as long as it is there, unless the player sets others. */
import type { Chart } from '../chart/chart.ts';
import { given } from '../common/given.ts';
import { formatKey } from '../harmony/key/key.ts';
import type { Settings } from '../io/files/settings.ts';
import { commonTime, formatMetre } from '../midi/metre.ts';

type Heading = Pick<Settings, 'key' | 'metre'>;

function headingOf({ key, metres }: Pick<Chart, 'key' | 'metres'>): Heading {
  return { ...given('key', key && formatKey(key)), metre: formatMetre(metres[0]) };
}

/** What is remembered says nothing of common time. */
function isSame(one: string | undefined, other: string | undefined): boolean {
  const plain = formatMetre(commonTime);
  return (one ?? plain) === (other ?? plain);
}

export class LentByTune {
  #its: Heading = {};
  #before: Heading = {};

  /** `now`: what is set. What is to be set for a tune, or after the last one. */
  lend(chart: Chart | undefined, now: Heading): Heading {
    const own = this.ownOf(now);
    this.#before = own;
    this.#its = chart === undefined ? {} : headingOf(chart);
    return { ...own, ...this.#its };
  }

  /** The player's own, whatever is lent. */
  ownOf(now: Heading): Heading {
    const { key, metre } = this.#its;
    const isKeyLent = key !== undefined && key === now.key;
    const isMetreLent = metre !== undefined && isSame(metre, now.metre);
    return {
      ...given('key', isKeyLent ? this.#before.key : now.key),
      ...given('metre', isMetreLent ? this.#before.metre : now.metre),
    };
  }
}
