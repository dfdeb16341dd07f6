/**
 * What hands hold while nothing is revoiced, as chords: keys struck together, rolled, or broken over
 * the sustain pedal. grip-reading.ts tells what they make. Times are microseconds.
 */
import type { HeldKey } from '../hands/held-keys.ts';
import { ascending } from '../hands/parts.ts';
import { areChord, type LastGrip, type Outcome, readGrip } from './grip-reading.ts';

export type Grip = {
  /** When its first new key was struck. */
  readonly at: number;
  /** Lowest → highest, no pitch twice. */
  readonly keys: readonly HeldKey[];
  /** The last one, with a key more or without one that was on its way up. */
  readonly isCorrection: boolean;
};

export type Grips = {
  readonly press: (key: HeldKey) => void;
  readonly release: (key: HeldKey, at: number) => void;
  /** The sustain pedal of a channel moved. */
  readonly notePedal: (channel: number, isDown: boolean) => void;
  readonly deadline: () => number | undefined;
  readonly advance: (at: number) => void;
  /** Something of the last grip still sounds. */
  readonly isSounding: () => boolean;
  readonly forget: () => void;
};

/** After the last key so long, a grip is read. Common practice, no source. */
const settling = 60_000;
/** A key of the chord before that comes up this soon after the next one was let go with its own. */
const legato = 200_000;

function onceEach(keys: readonly HeldKey[]): readonly HeldKey[] {
  return ascending([...new Map(keys.map((key) => [key.note, key])).values()]);
}

/** The last grip without a key that was on its way up when it was read; undefined: it stays. */
function withoutOverlap(last: LastGrip | undefined, key: HeldKey, at: number) {
  if (last === undefined || at - last.readAt > legato || !last.over.includes(key)) return undefined;
  const keys = last.keys.filter((each) => each !== key);
  const over = last.over.filter((each) => each !== key);
  return areChord(keys) ? { keys, over, isCorrection: true } : undefined;
}

/**
 * @param onGrip told of each as it is read
 * @param onEnd nothing of the last one sounds any more
 */
export function createGrips(onGrip: (grip: Grip) => void, onEnd: () => void): Grips {
  const down = new Set<HeldKey>();
  let rung: readonly HeldKey[] = [];
  /** Channels whose pedal is down, a bit each. */
  let pedals = 0;
  let struck: readonly HeldKey[] = [];
  let dueAt: number | undefined;
  let last: Omit<LastGrip, 'isWhole'> | undefined;

  const sounds = (key: HeldKey): boolean => down.has(key) || rung.includes(key);
  const isSounding = (): boolean => last?.keys.some(sounds) === true;
  const lastNow = () => last && { ...last, isWhole: last.keys.every(sounds) };

  const take = (found: Omit<Extract<Outcome, { type: 'grip' }>, 'type'>, at: number): void => {
    const { isCorrection, over } = found;
    const keys = onceEach(found.keys);
    const lastAt = struck.at(-1)?.struckAt ?? last?.lastAt ?? at;
    const begun = (isCorrection ? last?.at : struck[0]?.struckAt) ?? lastAt;
    struck = [];
    last = { keys, at: begun, lastAt, readAt: at, over };
    onGrip({ at: begun, keys, isCorrection });
  };

  const read = (at: number): void => {
    const held = [...down].filter((key) => !struck.includes(key));
    const isDown = (key: HeldKey): boolean => down.has(key);
    const outcome = readGrip({ struck, held, rung, isDown, last: lastNow() }, at);
    dueAt = outcome.type === 'wait' ? outcome.until : undefined;
    if (outcome.type === 'line') for (const key of struck) key.part = 'line';
    if (outcome.type === 'grip') take(outcome, at);
    else if (outcome.type !== 'wait') struck = [];
  };

  return {
    press(key) {
      down.add(key);
      struck = [...struck, key];
      dueAt = key.struckAt + settling;
    },
    release(key, at) {
      const wasSounding = isSounding();
      if (!down.delete(key)) return;
      const isKept = (pedals & (1 << key.playedOn)) !== 0;
      if (isKept) rung = [...rung.filter(({ note }) => note !== key.note), key];
      const rest = isKept || struck.length > 0 ? undefined : withoutOverlap(lastNow(), key, at);
      if (rest !== undefined) take(rest, at);
      if (wasSounding && !isSounding()) onEnd();
    },
    notePedal(channel, isDown) {
      const wasSounding = isSounding();
      if (isDown) pedals |= 1 << channel;
      else {
        pedals &= ~(1 << channel);
        rung = rung.filter(({ playedOn }) => playedOn !== channel);
      }
      if (wasSounding && !isSounding()) onEnd();
    },
    deadline: () => dueAt,
    advance(at) {
      if (dueAt !== undefined && dueAt <= at) read(dueAt);
    },
    isSounding,
    forget() {
      down.clear();
      rung = [];
      struck = [];
      dueAt = undefined;
      last = undefined;
    },
  };
}
