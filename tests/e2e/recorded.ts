/**
 * A tune through Handspan among real clients: aplaymidi plays it, arecordmidi records what comes out,
 * aseqdump tells what hangs.
 */
import assert from 'node:assert/strict';
import { isDeepStrictEqual } from 'node:util';
import { listenTo, record } from './capture.ts';
import { endChildren } from './children.ts';
import { eventAsText } from './demo-expected.ts';
import { type Played, play } from './performance.ts';
import { addressOf, inputName, outputName, startPlaying } from './program.ts';
import { waitFor } from './sequencer.ts';
import { notesOf, unbalanced } from './sounding.ts';

const mostPerformances = 3;
/** Longer than any pause within the tunes, on a machine that is ten times too slow. */
const longestPauseMs = 15_000;

export type Performance = {
  /** Options of `play`. */
  readonly options: readonly string[];
  readonly makeHome: () => string | Promise<string>;
  readonly tune: () => readonly Played[];
  /** What is to be recorded: notes and controllers, as texts. */
  readonly meant: readonly string[];
};

export type Recorded = {
  readonly events: readonly string[];
  /** Notes without an end, in any of the performances. */
  readonly hanging: readonly string[];
  /** What the program printed. */
  readonly printed: string;
};

async function perform({ options, makeHome, tune, meant }: Performance): Promise<Recorded> {
  const program = await startPlaying([...options], await makeHome());
  const recorder = await record(outputName);
  const listener = await listenTo(outputName);
  const notes = meant.filter((text) => /^(on|off) /.test(text)).length;
  await play(tune(), addressOf(inputName)).ended;
  // Fewer may come where the machine was late: the recording tells, once nothing more comes.
  let [heardSoFar, heardAt] = [-1, 0];
  await waitFor(`${notes} note-ons and note-offs`, () => {
    const count = notesOf(listener.heard()).length;
    if (count !== heardSoFar) [heardSoFar, heardAt] = [count, Date.now()];
    return count >= notes || Date.now() - heardAt > longestPauseMs ? true : undefined;
  }).catch(() => {});
  const isSounded = (text: string): boolean => /^(on|off|control) /.test(text);
  const events = (await recorder.stop()).map(eventAsText).filter(isSounded);
  const hanging = unbalanced(await listener.stop());
  const { code } = await program.end();
  assert.equal(code, 0, program.stderr());
  return { events, hanging, printed: program.stdout() };
}

/**
 * A virtual machine that stalls for longer than a chord is waited for plays another tune than was
 * meant: then it is played again. No performance may leave a note hanging.
 */
export async function performUntilMeant(performance: Performance): Promise<Recorded> {
  const hanging: string[] = [];
  for (let performances = 1; ; performances += 1) {
    const recorded = await perform(performance);
    await endChildren();
    hanging.push(...recorded.hanging);
    const isMeant = isDeepStrictEqual(recorded.events, performance.meant);
    if (isMeant || performances === mostPerformances) return { ...recorded, hanging };
    process.stdout.write(`# performance ${performances} did not come out as meant\n`);
  }
}
