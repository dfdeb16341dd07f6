/** What a row of the set-up page is, and how it changes what is remembered. */
import type { Settings } from '../io/settings.ts';
import type { Register } from '../presets/preset.ts';
import type { FormRow } from '../ui/form-row.ts';
import { given } from './play-options.ts';
import type { PlaySession } from './play-session.ts';

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
