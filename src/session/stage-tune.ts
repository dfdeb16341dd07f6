/** The tune on the stage as the player asks for it: which one, where in it, how far it is believed. */
import type { EngineHost } from '../io/engine/engine-host.ts';
import type { StageTune, Tune, TuneReading } from '../tune/tune.ts';

type Host = Pick<EngineHost, 'follow' | 'setPlace' | 'oneKey'>;

export const noTune = 'There is no tune on the stage; start with --chart FILE.';

export class SessionTune {
  #stage: StageTune | undefined;
  #host: Host | undefined;

  constructor(stage: StageTune | undefined) {
    this.#stage = stage;
  }

  get tune(): Tune | undefined {
    return this.#stage?.tune;
  }

  get reading(): TuneReading | undefined {
    return this.#stage?.reading;
  }

  /** Any key plays the next chord, or no longer does; a sentence for the player. */
  turnOneKey(isOn: boolean): string {
    if (this.tune === undefined) return noTune;
    this.#host?.oneKey(isOn);
    return isOn
      ? 'Any key plays the next chord of the tune, the same key again the same chord.'
      : 'Your keys are what you play again.';
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

  /** To the beginning of the section before or after this chord, or its own where it is within. */
  toSection(chord: number, step: 1 | -1): string {
    if (this.tune === undefined) return noTune;
    const { chords } = this.tune;
    const openings = chords.flatMap((each, index) => (each.opensSection ? [index] : []));
    const to =
      step > 0
        ? (openings.find((opening) => opening > chord) ?? 0)
        : (openings.findLast((opening) => opening < chord) ?? 0);
    this.#host?.setPlace(to);
    return '';
  }

  toTop(): string {
    if (this.tune === undefined) return noTune;
    this.#host?.setPlace(0);
    return '';
  }
}
