/** The tune on the stage as the player asks for it: which one, where in it, how far it is believed. */
import { isDeepStrictEqual } from 'node:util';
import type { Chart } from '../chart/chart.ts';
import { done, type Result, refused } from '../common/result.ts';
import type { EngineHost } from '../io/engine/engine-host.ts';
import type { Snapshot } from '../live/snapshot.ts';
import { noTune, nowhere, oneKeySentence } from '../live/tune/sentences.ts';
import { movedTo, type PlaceMove } from '../tune/moved-place.ts';
import type { StageTune, Tune, TuneReading } from '../tune/tune.ts';

/** A tune with the chart that it was made of. */
export type ChartOnStage = { readonly stage: StageTune; readonly chart: Chart };

type Host = Pick<EngineHost, 'follow' | 'setPlace' | 'oneKey'>;

export function stays(problem: string): string {
  return `${problem.replace(/\.?$/u, '.')} The chart of before is played on.`;
}

export class SessionTune {
  #stage: StageTune | undefined;
  #chart: Chart | undefined;
  #host: Host | undefined;
  #readAnew: (() => Promise<Result<ChartOnStage>>) | undefined;
  /** Read anew, for the next top. */
  #waiting: ChartOnStage | undefined;
  #shown: Snapshot['tune'];

  constructor(stage: StageTune | undefined, chart?: Chart) {
    this.#stage = stage;
    this.#chart = chart;
  }

  /** What the tune was made of; undefined: no tune, or one of no chart. */
  get chart(): Chart | undefined {
    return this.#chart;
  }

  get tune(): Tune | undefined {
    return this.#stage?.tune;
  }

  get reading(): TuneReading | undefined {
    return this.#stage?.reading;
  }

  /** Any key plays the next chord, or no longer does; a sentence for the player. */
  turnOneKey(isOn: boolean): Result<string> {
    if (this.tune === undefined) return refused(noTune);
    this.#host?.oneKey(isOn);
    return done(oneKeySentence(isOn));
  }

  /** Another one from its top, and how it is read anew; undefined: none. What sounds goes on. */
  open(next: ChartOnStage | undefined, readAnew?: () => Promise<Result<ChartOnStage>>): void {
    this.#waiting = undefined;
    this.#stage = next?.stage;
    this.#chart = next?.chart;
    this.#readAnew = readAnew;
    this.#host?.follow(next?.stage);
    if (next === undefined) this.#host?.oneKey(false);
  }

  /** How the chart is read anew; a tune that was given otherwise cannot be. */
  readFrom(readAnew: () => Promise<Result<ChartOnStage>>): void {
    this.#readAnew = readAnew;
  }

  /** The chart is another on disk: it is taken at the next top. A sentence, '' for nothing new. */
  async changed(): Promise<string> {
    const read = await this.#readAnew?.();
    if (read === undefined) return '';
    if (!read.ok) return stays(read.problem);
    this.#waiting = isDeepStrictEqual(read.value.stage, this.#stage) ? undefined : read.value;
    if (this.#waiting === undefined) return '';
    if (this.#shown?.isPlayed === true)
      return 'The chart has changed: it is played from the next top on, or at once when you ask.';
    return this.#take(this.#waiting);
  }

  /** The chart is read anew and taken at once, in the bar that is played. */
  async reload(): Promise<Result<string>> {
    if (this.tune === undefined) return refused(noTune);
    const read = await this.#readAnew?.();
    if (read === undefined) return refused('This tune is from no file that could be read anew.');
    return read.ok ? done(this.#take(read.value)) : refused(stays(read.problem));
  }

  #take({ stage, chart }: ChartOnStage): string {
    this.#waiting = undefined;
    this.#stage = stage;
    this.#chart = chart;
    this.#host?.follow({ ...stage, continues: true });
    return 'The chart is played as it is on disk now.';
  }

  /** Where the player is: what waits for the top is taken there. A sentence, '' for nothing to say. */
  see(shown: Snapshot['tune']): string {
    const before = this.#shown;
    this.#shown = shown;
    if (this.#waiting === undefined || shown === undefined) return '';
    const isTop =
      shown.chorus !== before?.chorus || (shown.chord === 0 && before.chord !== shown.chord);
    return isTop ? this.#take(this.#waiting) : '';
  }

  begin(host: Host): void {
    this.#host = host;
    if (this.#stage !== undefined) host.follow(this.#stage);
  }

  /** The next chord is expected in this bar, as bars are played; a sentence where it cannot be. */
  toBar(bar: number): string {
    if (this.tune === undefined) return noTune;
    const { chords, bars } = this.tune;
    const chord = chords.findIndex((each) => each.bar >= bar && each.symbol !== '');
    if (!Number.isInteger(bar) || bar < 0 || bar > bars || chord < 0) {
      return `There is no bar ${bar} with a chord in it; give 1 to ${bars}, as they are played.`;
    }
    this.#host?.setPlace(chord);
    return '';
  }

  /** The place is moved from where the player is; a sentence where it cannot be. */
  move(move: PlaceMove): string {
    const { tune } = this;
    if (tune === undefined) return noTune;
    const to = movedTo(tune, this.#shown ?? { chord: 0, isPlayed: false }, move);
    if (to === undefined) return nowhere(move, true);
    this.#host?.setPlace(to);
    return '';
  }
}
