/** What was just played by hand becomes a preset, which plays from then on. */
import { setImmediate as nextTurn } from 'node:timers/promises';
import { given } from '../../common/given.ts';
import type { Result } from '../../common/result.ts';
import { counted } from '../../common/words.ts';
import { formatKey, type Key } from '../../harmony/key/key.ts';
import { parseMetre } from '../../midi/metre.ts';
import type { Library } from '../../session/presets/preset-library.ts';
import { presetNameProblem, takenNameProblem } from '../../session/presets/preset-name.ts';
import type { PlaySession } from '../../session/session.ts';

/** Sentences that are spoken on the stage: what was learned and how near it comes, or why nothing was. */
export async function learnPlayed(
  session: PlaySession,
  library: Library,
  name: string,
  since?: number,
): Promise<Result<string>> {
  const nameProblem = presetNameProblem(name) || takenNameProblem(name, session.presets);
  if (nameProblem !== '') return { ok: false, problem: nameProblem };
  const take = session.tape.recent();
  if (take === undefined) return { ok: false, problem: 'Nothing that is played is kept here.' };
  // The screen is drawn first: learning takes a moment, in which the engine's own thread plays on.
  await nextTurn();
  const { learnFromTake } = await import('../analyse/learn-from-take.ts');
  const { key, isKeyFollowed, memory } = session;
  const learned = learnFromTake(take, {
    key,
    isKeySet: !isKeyFollowed,
    metre: parseMetre(memory.metre ?? ''),
    known: session.presets,
    ...given('since', since),
    // Who listens plays what is meant; what was voiced before is another matter.
    ...given('heardSince', session.isListening ? session.tape.listenedSince : undefined),
  });
  if (!learned.ok) return learned;
  const { preset, texture, match, before, keyHeard } = learned.value;
  const made = library.playNew(preset, name);
  if (!made.ok) return made;
  // Plain triads are to answer in it at once.
  session.stopListening();
  const { alike, otherOctaves, chords } = match;
  const octaves = otherOctaves === 0 ? '' : `, ${otherOctaves} alike but for octaves`;
  const earlier =
    before === 0 ? '' : ` (${counted(before, 'chord')} before them are built otherwise)`;
  const sentence = `'${made.value.preset.name}' plays ${texture}: from plain triads ${alike} of ${counted(chords, 'chord')} note for note${octaves}${earlier}.`;
  if (keyHeard !== undefined) session.setKey(keyHeard);
  const inKey = keyText(keyHeard, key, alike < chords);
  const sentences = [sentence, inKey, made.remark].filter((each) => each !== '');
  return { ok: true, value: sentences.join(' ') };
}

/** Of the key that was heard and is set now, or that one is wanting. */
function keyText(heard: Key | undefined, set: Key | undefined, isWanting: boolean): string {
  if (heard !== undefined) return `The key is ${formatKey(heard)} now, as you played it.`;
  return set === undefined && isWanting ? 'Set a key, and V is a dominant.' : '';
}
