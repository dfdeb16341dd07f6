/** The terminal while the screen has it: written to, and given back as it was, whatever ends it. */
import type { Size } from '../frame/layout.ts';
import { askForKeyUp, enterScreen, giveKeyUpBack, leaveScreen } from '../terminal.ts';

export type HeldTerminal = {
  readonly size: () => Size;
  /** Nothing, once it has been given back. */
  readonly write: (bytes: string) => void;
  readonly isGivenBack: () => boolean;
  /** Safe to call twice. */
  readonly giveBack: () => void;
};

type Manner = {
  /** Sentences in place of a page. */
  readonly isSpoken: boolean;
  readonly environment: NodeJS.ProcessEnv;
  readonly onResize: () => void;
  /** Just before it is given back. */
  readonly onEnd: () => void;
};

/**
 * Terminals without the protocol take no notice of being asked. Two do not have it and might: the
 * Linux console, and the terminal that macOS brings, which reads a shorter sequence in it.
 */
function mayTellKeyUp({ TERM, TERM_PROGRAM }: NodeJS.ProcessEnv): boolean {
  return TERM !== 'linux' && TERM_PROGRAM !== 'Apple_Terminal';
}

export function holdTerminal(
  stdout: NodeJS.WriteStream,
  { isSpoken, environment, onResize, onEnd }: Manner,
): HeldTerminal {
  const hasKeyUp = mayTellKeyUp(environment);
  const enter = `${isSpoken ? '' : enterScreen}${hasKeyUp ? askForKeyUp : ''}`;
  const leave = `${hasKeyUp ? giveKeyUpBack : ''}${isSpoken ? '' : leaveScreen}`;
  let isGivenBack = false;

  const giveBack = (): void => {
    if (isGivenBack) return;
    isGivenBack = true;
    onEnd();
    stdout.off('resize', onResize);
    process.off('exit', giveBack);
    stdout.write(leave);
  };

  stdout.write(enter);
  process.once('exit', giveBack);
  stdout.on('resize', onResize);
  return {
    size: () => ({ columns: stdout.columns || 80, rows: stdout.rows || 24 }),
    write(bytes) {
      if (!isGivenBack && bytes !== '') stdout.write(bytes);
    },
    isGivenBack: () => isGivenBack,
    giveBack,
  };
}
