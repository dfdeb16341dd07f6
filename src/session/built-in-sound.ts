/** The built-in sound of a session: on, off, louder and softer; where none is to be had, silence. */
import type { Result } from '../common/result.ts';
import { type SoundHost, type SoundWish, startSound } from '../io/sound/sound-host.ts';
import { boundedLevel, levels } from '../sound/level.ts';
import type { TimbreName } from '../sound/timbre.ts';
import { levelText } from '../ui/level-text.ts';

/** Absent: as before. */
export type SoundChoice = { readonly isOn?: boolean; readonly level?: number };

/** What decides whether it sounds from the start. */
export type SoundWishes = {
  /** `--sound` and `--no-sound`. */
  readonly isAsked: boolean;
  readonly isRefused: boolean;
  /** Undefined in rehearsal. */
  readonly ports: unknown;
  /** Somebody sits at it, and reads no JSON. */
  readonly isTerminal: boolean;
  /** The player turned it off the last time. */
  readonly isOffRemembered: boolean;
};

/**
 * Beside MIDI ports something else sounds already, and a pipe may be no desk: it is asked for there.
 * In a rehearsal at a terminal there is nothing else to hear.
 */
export function isSoundWished(wishes: SoundWishes): boolean {
  if (wishes.isRefused) return false;
  if (wishes.isAsked) return true;
  return wishes.ports === undefined && wishes.isTerminal && !wishes.isOffRemembered;
}

export type SoundSurroundings = {
  readonly timbre: TimbreName;
  /** Ports are played at the same time, and come first. */
  readonly isBeside?: boolean;
  /** Decibels, as remembered; absent: soft. */
  readonly level?: number | undefined;
  /** Where the engine sends what sounds; undefined: nowhere. */
  readonly sendTo: (socket: string | undefined) => void;
  readonly say: (sentence: string) => void;
  /** What the player chose, to be remembered. */
  readonly onChange: (chosen: SoundChoice) => void;
  /** Another one, for tests. */
  readonly start?: (wish: SoundWish) => Promise<Result<SoundHost>>;
};

export type BuiltInSound = {
  /** Resolves when it sounds, or with why it does not: one sentence, else ''. */
  readonly turnOn: () => Promise<string>;
  /** As the player asks for; the sentences are the player's. */
  readonly toggle: () => Promise<void>;
  readonly stepLevel: (step: 1 | -1) => void;
  readonly isOn: () => boolean;
  /** Decibels, whether it is on or not. */
  readonly level: () => number;
  /** Silent, whatever was asked for meanwhile. */
  readonly close: () => Promise<void>;
};

export function createBuiltInSound(surroundings: SoundSurroundings): BuiltInSound {
  const { timbre, isBeside = false, sendTo, say, onChange, start = startSound } = surroundings;
  let level = boundedLevel(surroundings.level ?? levels.first);
  let host: SoundHost | undefined;
  let starting: Promise<string> | undefined;
  let isClosed = false;

  const open = async (): Promise<string> => {
    const onLost = (problem: string) => {
      host = undefined;
      sendTo(undefined);
      say(problem);
    };
    const started = await start({ timbre, isBeside, level, onLost });
    starting = undefined;
    if (!started.ok) return started.problem;
    if (isClosed) {
      await started.value.close();
      return '';
    }
    host = started.value;
    host.setLevel(level);
    sendTo(host.socket);
    return '';
  };
  const turnOn = (): Promise<string> => {
    if (host !== undefined) return Promise.resolve('');
    starting ??= open();
    return starting;
  };
  const turnOff = async (): Promise<void> => {
    const ending = host;
    host = undefined;
    sendTo(undefined);
    await ending?.close();
  };

  return {
    turnOn,
    async toggle() {
      if (host !== undefined) {
        await turnOff();
        onChange({ isOn: false });
        say('The built-in sound is off.');
        return;
      }
      const problem = await turnOn();
      if (problem === '') onChange({ isOn: true });
      say(problem || `The built-in sound is on, ${levelText(level)}; set your monitors low.`);
    },
    stepLevel(step) {
      level = boundedLevel(level + step * levels.step);
      host?.setLevel(level);
      onChange({ level });
      const end = level === levels.loudest || level === levels.softest ? ', the last step' : '';
      say(`The level of the built-in sound is ${levelText(level)}${end}.`);
    },
    isOn: () => host !== undefined,
    level: () => level,
    async close() {
      isClosed = true;
      await starting;
      await turnOff();
    },
  };
}
