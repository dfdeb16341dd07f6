/** What the engine has to tell the player, once each: a choice that was made, or why there is none. */
import type { Snapshot } from '../live/snapshot.ts';
import { choiceSentence, latchSentence, listenSentence, shapeSentence } from './choice-sentence.ts';

export class EngineWords {
  /** Of the engine's sentences and shapes, how many have been told; and the last choice. */
  #told = { count: 0, choice: '', isLatched: false, isListening: false, preset: '', shapes: 0 };
  /** The last state brought a sentence of the engine's own. */
  isSaidNow = false;

  /** Whether it listens is told by whoever had it so. */
  noteListening(isListening: boolean): void {
    this.#told = { ...this.#told, isListening };
  }

  /** The sentence to show in place of `shown`; '' for none, undefined where that one stays. */
  take(snapshot: Snapshot, shown: string): string | undefined {
    const { said, choices, isLatched = false, isListening = false, preset, shape } = snapshot;
    const told = this.#told;
    const count = said?.count ?? 0;
    const choice = choices === undefined ? '' : choiceSentence(choices);
    const shapes = shape?.count ?? 0;
    this.#told = { count, choice, isLatched, isListening, preset, shapes };
    this.isSaidNow = count > told.count;
    if (said !== undefined && this.isSaidNow) return said.sentences.at(-1) ?? '';
    if (shape !== undefined && shapes > told.shapes) {
      return `${shapeSentence(shape)} = keeps it as a preset.`;
    }
    if (choice !== '' && choice !== told.choice) return choice;
    if (isListening !== told.isListening) return listenSentence(isListening);
    // The next chord has choices of its own.
    if (choice === '' && told.choice !== '' && shown === told.choice) return '';
    // Another preset may be latched by its own word.
    if (isLatched !== told.isLatched && preset === told.preset) return latchSentence(isLatched);
    return undefined;
  }
}
