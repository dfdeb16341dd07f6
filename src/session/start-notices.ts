/**
 * What there is to say at the start, on the screen: one sentence after another, again and again,
 * until the player has pressed a key that does something. Other sentences come first.
 */
import type { PlaySession } from './session.ts';

/** Long enough to read two lines. Milliseconds. */
const readingTime = 6000;

export type StartNotices = {
  readonly notices: readonly string[];
  /** To be heard instead of read: all of it once. */
  readonly isSpoken: boolean;
};

/** Returns how to stop. */
export function sayInTurn(
  session: Pick<PlaySession, 'message' | 'say'>,
  { notices, isSpoken }: StartNotices,
): () => void {
  if (isSpoken || notices.length < 2) {
    session.say(notices.join(' '));
    return () => {};
  }
  const sentences = notices.map((notice, index) => `${index + 1}/${notices.length} ${notice}`);
  let place = 0;
  const sayNext = () => {
    session.say(sentences[place % sentences.length] ?? '');
    place += 1;
  };
  sayNext();
  const timer = setInterval(() => {
    if (session.message === '') clearInterval(timer);
    else if (sentences.includes(session.message)) sayNext();
  }, readingTime);
  timer.unref();
  return () => clearInterval(timer);
}
