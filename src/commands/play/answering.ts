/**
 * Orders that are answered later, by a chord line or a sentence of the engine's or once a take has
 * ended: the answer names its order, and the next order waits for it, so that a rehearsal that is
 * written down reads like one that is played.
 */
import { isTurn } from './choice-orders.ts';

/** An engine that says nothing must not keep the orders behind waiting. */
const longestMilliseconds = 600;

export class Answering {
  #order: string | undefined;
  #told: () => void = () => {};

  /** What the next answer answers; undefined: no order. */
  get order(): string | undefined {
    return this.#order;
  }

  /** An answer was written. */
  tell(): void {
    this.#told();
  }

  /** Obeys, and waits for the engine's answer where the order has one. */
  async during<T>(line: string, obey: () => T | Promise<T>): Promise<T> {
    if (!isAsked(line)) return obey();
    this.#order = line.trim();
    const told = new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, longestMilliseconds);
      this.#told = () => {
        clearTimeout(timer);
        resolve();
      };
    });
    const answer = await obey();
    // A sentence that is there at once is the answer: the engine was not asked.
    if (answer !== '') this.#told();
    await told;
    this.#order = undefined;
    this.#told = () => {};
    return answer;
  }
}

/** 'voicing next', 'latch', 'keep voicing type', 'take shape'; 'record', which ends a take in a moment. */
function isAsked(line: string): boolean {
  const [verb = '', what = ''] = line.trim().toLowerCase().split(/\s+/u);
  if (verb === 'keep') return what === 'voicing';
  return (
    isTurn(verb) ||
    ['latch', 'listen', 'record'].includes(verb) ||
    (verb === 'take' && what === 'shape')
  );
}
