/** What a row of the set-up page is, and how it changes what is remembered. */

import { given } from '../../common/given.ts';
import { capitalised } from '../../common/words.ts';
import type { Settings } from '../../io/files/settings.ts';
import type { Register } from '../../presets/preset.ts';
import { parseRegister } from '../../presets/register.ts';
import type { FormRow } from '../../ui/form-row.ts';
import type { PlaySession } from '../session.ts';

/** '' when done, else one sentence. */
export type Answer = string;

export type SetUpRow = {
  readonly id: string;
  readonly group: string;
  readonly label: string;
  readonly help: string;
  readonly entry: FormRow['entry'];
  readonly value: (session: PlaySession) => string;
  readonly step?: (session: PlaySession, step: 1 | -1) => Answer;
  readonly type?: (session: PlaySession, text: string) => Answer;
  readonly clear?: (session: PlaySession) => Answer;
  /** What Return waits for. */
  readonly learns?: 'control' | 'range';
  readonly learned?: (session: PlaySession, register: Register) => Answer;
};

/** Remembers a value, or that there is none; the answer is always ''. */
export function patch<N extends keyof Settings>(
  session: PlaySession,
  name: N,
  value: Settings[N] | undefined,
): Answer {
  const { [name]: _, ...rest } = session.memory;
  session.remember({ ...rest, ...given(name, value) } as Settings);
  return '';
}

/** A range that is typed instead of played, 'C3-D5'. */
export function rangeProblem(text: string): Answer {
  const parsed = parseRegister(text);
  return text === '' || parsed.ok ? '' : capital(parsed.problem);
}

/** Sentences begin so. */
export function capital(sentence: string): string {
  return capitalised(sentence);
}

/** In rehearsal there is no key to play: a range is typed. */
export function typedHelp(help: string): string {
  return help.replace(/Return, then play (.*), or t and type them/, 'Return, then type $1');
}
