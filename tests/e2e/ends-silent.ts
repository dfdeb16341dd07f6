/** What every signal that ends Handspan must leave behind: nothing that sounds, and no port of its own. */
import assert from 'node:assert/strict';
import type { Listener } from './capture.ts';
import { chord, play } from './performance.ts';
import { addressOf, inputName, outputName, type Program } from './program.ts';
import { findPort, waitFor } from './sequencer.ts';
import { notesOf, unbalanced } from './sounding.ts';

/**
 * A chord is held, the signal comes. `input`: the port it is played to; `from`: which of the events
 * heard so far is the first that counts, for a listener that came later than what sounded.
 */
export async function endsSilent(
  program: Program,
  listener: Listener,
  signal: NodeJS.Signals,
  { input = inputName, from = 0 }: { readonly input?: string; readonly from?: number } = {},
): Promise<void> {
  const heardBefore = notesOf(listener.heard()).length;
  const player = play(chord([60, 64, 67], 0, 600_000), addressOf(input));
  await waitFor('a sounding chord', () =>
    notesOf(listener.heard()).length >= heardBefore + 3 ? true : undefined,
  );
  assert.notDeepEqual(unbalanced(listener.heard().slice(from)), []);
  const ending = await program.end(signal);
  const heard = await listener.stop();
  await player.abandon();
  assert.deepEqual(unbalanced(heard.slice(from)), []);
  assert.equal(findPort(inputName), undefined);
  assert.equal(findPort(outputName), undefined);
  assert.ok(ending.code !== 1, `ended with ${ending.code}: ${program.stderr()}`);
}
