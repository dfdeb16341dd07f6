/** Sentences of a run without a screen: on standard error, or as lines of JSON. */
import type { Streams } from '../../cli/command.ts';
import { given } from '../../common/given.ts';

export type Say = (said: string, order?: string, isRefused?: boolean) => void;

/**
 * `order`: what it answers, or refuses. Where JSON was asked for, it is a line of it:
 * `{"said": …, "order": …, "refused": true}`.
 */
export function sayerOf({ stdout, stderr }: Streams, isJson: boolean): Say {
  return (said, order, isRefused = false) => {
    const line = { said, ...given('order', order), ...(isRefused && { refused: true }) };
    if (isJson) stdout.write(`${JSON.stringify(line)}\n`);
    else stderr.write(`handspan: ${said}\n`);
  };
}
