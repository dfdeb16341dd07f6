/**
 * One way there and back that is to be measured: an output of ours to some program, and an input of
 * ours from it. The input gets a copy of everything sent as well, and the kernel stamps both as they
 * arrive, so what is measured is the program between them and not the measuring process.
 */
import { spawnSync } from 'node:child_process';
import { Input, Output } from '@julusian/midi/lazy';
import { findPort, waitFor } from '../../tests/e2e/sequencer.ts';

type Heard = { readonly atMilliseconds: number; readonly bytes: readonly number[] };

export type Path = {
  /** What the program must listen and send to. */
  readonly toName: string;
  readonly fromName: string;
  /**
   * Sends these note-ons, waits until nothing more comes, and returns the milliseconds from the last
   * of them to the last answer; undefined when there was no answer.
   */
  readonly time: (notes: readonly number[]) => Promise<number | undefined>;
  /** Waits until a program is connected on both sides and answers these notes. */
  readonly connected: (notes: readonly number[]) => Promise<void>;
};

/** From one step of a fast player to the next, never twice the same so that no timer runs along. */
const stepMilliseconds = () => 55 + Math.random() * 20;
const lostMilliseconds = 2_000;
const pause = () => new Promise((resolve) => setTimeout(resolve, 2));

export function connect(from: string, to: string): void {
  const [source, sink] = [findPort(from)?.address ?? from, findPort(to)?.address ?? to];
  const { status, stderr } = spawnSync('aconnect', [source, sink], { encoding: 'utf8' });
  if (status !== 0) throw new Error(`aconnect ${source} ${sink}: ${stderr}`);
}

export function openPath(name: string): Path {
  const [toName, fromName] = [`${name} to`, `${name} from`];
  const heard: Heard[] = [];
  let now = 0;
  let heardAt = 0;
  const output = new Output();
  output.openVirtualPort(toName);
  const input = new Input();
  input.on('message', (seconds, bytes) => {
    now += seconds * 1000;
    heardAt = performance.now();
    heard.push({ atMilliseconds: now, bytes: [...bytes] });
  });
  input.openVirtualPort(fromName);
  connect(toName, fromName);

  /** Until it is time for the next step and all is there, or the answer counts as lost. */
  const step = async (isEnough: () => boolean) => {
    const start = performance.now();
    const least = stepMilliseconds();
    for (;;) {
      await pause();
      const passed = performance.now();
      if (isEnough() && passed - start > least && passed - heardAt > least / 2) return;
      if (passed - start > lostMilliseconds) return;
    }
  };
  return {
    toName,
    fromName,
    async time(notes) {
      heard.length = 0;
      for (const note of notes) output.sendMessage([0x90, note, 80]);
      // The copy of each, and an answer at least.
      await step(() => noteOns(heard).length > notes.length);
      const span = spanOf(heard, notes);
      for (const note of notes) output.sendMessage([0x80, note, 64]);
      await step(() => 2 * noteOns(heard).length === heard.length);
      return span;
    },
    async connected(notes) {
      await waitFor(`a program behind '${toName}'`, () =>
        (findPort(toName)?.readers.length ?? 0) > 1 ? true : undefined,
      );
      // That its output is connected as well is seen by an answer.
      for (let tries = 0; (await this.time(notes)) === undefined; tries += 1) {
        if (tries > 20) throw new Error(`nothing answers '${toName}'`);
      }
    },
  };
}

function noteOns(heard: readonly Heard[]): readonly Heard[] {
  return heard.filter(
    ({ bytes: [status = 0, , velocity = 0] }) => status >> 4 === 9 && velocity > 0,
  );
}

/** From the copy of the last note sent, the first of that note to arrive, to the last note-on. */
function spanOf(heard: readonly Heard[], notes: readonly number[]): number | undefined {
  const ons = noteOns(heard);
  const sent = ons.find(({ bytes }) => bytes[1] === notes.at(-1));
  const last = ons.at(-1);
  if (sent === undefined || last === undefined || ons.length <= notes.length) return undefined;
  return last.atMilliseconds - sent.atMilliseconds;
}
