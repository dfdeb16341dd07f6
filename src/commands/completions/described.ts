/** A command as the shells' scripts complete it. */
import type { Options } from '../../cli/definition.ts';

export type Described = {
  readonly name: string;
  readonly summary: string;
  /** First words after the command: 'check', 'show'. */
  readonly actions: readonly string[];
  readonly options: Options;
};
