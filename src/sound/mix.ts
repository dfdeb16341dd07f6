/** The gain of all together, so that their sum stays below its limit. Times are seconds. */
import { amplitudeOf, gainAt, gainUnder } from './level.ts';
import type { MixOrder } from './sound-order.ts';

/** Down before the new voice is up; back without a swell. */
const gainTimes = { down: 0.0008, up: 0.12 };

export class Mix {
  #wished: number;
  #last: MixOrder | undefined;

  /** Decibels; see level.ts. */
  constructor(level: number) {
    this.#wished = amplitudeOf(level);
  }

  setLevel(decibels: number): void {
    this.#wished = amplitudeOf(decibels);
  }

  /** `left` and `right`: the most that what sounds can reach on each side. */
  *limit(left: number, right: number, at: number): Generator<MixOrder> {
    const wanted = gainUnder(this.#wished, left, right);
    if (wanted === this.#last?.gain) return;
    const start = this.#last === undefined ? wanted : gainAt(this.#last, at);
    const within = wanted > start ? gainTimes.up : gainTimes.down;
    this.#last = { type: 'mix', at, start, gain: wanted, within };
    yield this.#last;
  }
}
