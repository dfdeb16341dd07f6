/** What the player keeps in presets: the voicing of the last chord, or a shape that was taken. */
import { done, type Result, refused } from '../common/result.ts';
import type { ChordReport, TakenShape } from '../live/snapshot.ts';
import type { Kept, KeptScope } from '../voicing/kept.ts';

/** Makes a preset of a shape; whether that is done, and a sentence. */
export type KeepShape = (
  shape: TakenShape,
  name: string,
) => { readonly isKept: boolean; readonly sentence: string };

const noShape = 'No shape was taken yet: take one first, and play it.';
const leftShape = 'The shape was left; = takes another.';
const nowhere = 'Nothing can be kept here.';

export class Keeping {
  /** Keeps a voicing in a preset; a sentence for the player. */
  onKeep: (kept: Kept, preset: string) => Promise<Result<string>> = async () => refused(nowhere);
  onKeepShape: KeepShape = () => ({ isKept: false, sentence: nowhere });
  readonly #ask: (scope: KeptScope) => void;
  readonly #shape: () => TakenShape | undefined;
  /** Who waits for a voicing to be kept, and the keeping of the last one. */
  readonly #waiting: ((answer: Result<string>) => void)[] = [];
  #kept: Promise<unknown> = Promise.resolve();
  /** Of the shapes that were taken, how many have been kept or left. */
  #shapesDone = 0;

  /** `ask`: has the engine tell what is to be kept; `shape`: the last that was taken. */
  constructor(ask: (scope: KeptScope) => void, shape: () => TakenShape | undefined) {
    this.#ask = ask;
    this.#shape = shape;
  }

  /** The voicing of the last chord is to be kept; resolves with a sentence for the player, or ''. */
  keep(scope: KeptScope): Promise<Result<string>> {
    return new Promise((resolve) => {
      this.#waiting.push(resolve);
      this.#ask(scope);
    });
  }

  /** What is to be kept is kept, one after the other. */
  take(reports: readonly ChordReport[]): void {
    for (const { kept, preset } of reports) {
      if (kept === undefined) continue;
      this.#kept = this.#kept
        .then(() => this.onKeep(kept, preset))
        .catch((error: unknown) => refused(String(error)))
        .then((answer) => this.#waiting.shift()?.(answer));
    }
  }

  /** The engine has said why there is nothing to keep: whoever waited has been told. */
  refuse(): void {
    this.#waiting.shift()?.(refused(''));
  }

  /** Taken, and neither kept nor left yet. */
  get takenShape(): TakenShape | undefined {
    const shape = this.#shape();
    return shape !== undefined && shape.count > this.#shapesDone ? shape : undefined;
  }

  /** Makes a preset of the shape that was taken, under this name; '' leaves it. Answers with a sentence. */
  keepShape(name: string): Result<string> {
    const shape = this.takenShape;
    if (shape === undefined) return refused(noShape);
    const answer =
      name === '' ? { isKept: true, sentence: leftShape } : this.onKeepShape(shape, name);
    if (!answer.isKept) return refused(answer.sentence);
    this.#shapesDone = shape.count;
    return done(answer.sentence);
  }
}
