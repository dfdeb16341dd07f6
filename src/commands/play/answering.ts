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
  #isRefused = false;

  /** What the next answer answers; undefined: no order. */
  get order(): string | undefined {
    return this.#order;
  }

  /** The engine answers by a sentence: of a turn or of keeping, why not. True where that refuses it. */
  refuse(): boolean {
    const [verb = ''] = wordsOf(this.#order ?? '');
    const isRefusal = verb === 'keep' || isTurn(verb);
    if (isRefusal) this.#isRefused = true;
    return isRefusal;
  }

  /** The last order that waited was refused by the engine. */
  get isRefused(): boolean {
    return this.#isRefused;
  }

  /** An answer was written. */
  tell(): void {
    this.#told();
  }

  /** Obeys, and waits for the engine's answer where the order has one. */
  async during<T>(line: string, obey: () => T | Promise<T>): Promise<T> {
    this.#isRefused = false;
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

function wordsOf(line: string): readonly string[] {
  return line.trim().toLowerCase().split(/\s+/u);
}

/** 'voicing next', 'latch', 'keep voicing type', 'take shape'; 'record', which ends a take in a moment. */
function isAsked(line: string): boolean {
  const [verb = '', what = ''] = wordsOf(line);
  if (verb === 'keep') return what === 'voicing';
  return (
    isTurn(verb) ||
    ['latch', 'listen', 'record'].includes(verb) ||
    (verb === 'take' && what === 'shape')
  );
}
