/** How a command is defined: its name, its options, its arguments, where it writes. */

/** Where a command writes. Answers go to `stdout`; everything about the answer to `stderr`. */
export type TextStream = {
  readonly write: (text: string) => unknown;
  /** What we draw ourselves, control characters and all; absent: `write` takes them too. */
  readonly draw?: (text: string) => unknown;
  readonly isTTY?: boolean;
  readonly columns?: number | undefined;
};

export type Streams = { readonly stdout: TextStream; readonly stderr: TextStream };

export type Option = {
  readonly type: 'string' | 'boolean';
  /** May be given more than once; its value is then a list. Only for strings. */
  readonly multiple?: boolean;
  /** One letter: `-h`. */
  readonly short?: string;
  /** What stands for the value in the help: 'NAME'. Only for strings. */
  readonly value?: string;
  /** One line for the help, without a full stop. */
  readonly about: string;
};

export type Options = { readonly [name: string]: Option };

type ValueOf<O extends Option> = O extends { readonly type: 'boolean' }
  ? boolean
  : O extends { readonly multiple: true }
    ? readonly string[]
    : string;

export type Arguments<O extends Options> = {
  readonly values: { readonly [Name in keyof O]?: ValueOf<O[Name]> };
  readonly positionals: readonly string[];
};

export type HelpTable = {
  readonly heading: string;
  readonly rows: readonly (readonly [left: string, right: string])[];
};

export type CommandDefinition<O extends Options> = {
  /** The word after `handspan`. */
  readonly name: string;
  /** What it does, in one or two sentences. */
  readonly about: string;
  /** The forms of the command line, without `handspan`: ['presets', 'presets check FILE']. */
  readonly usage: readonly string[];
  /** A whole command line that works as it stands. */
  readonly example: string;
  readonly options: O;
  /** A table for the help, between the options and the example. */
  readonly table?: HelpTable;
  /** Most positional arguments that make sense; more are a misuse. */
  readonly maximumPositionals: number;
  /** Actions that `--json` is for, where it is not for all; 'list' is the one without a word. */
  readonly jsonActions?: readonly string[];
  /** Exit code. Expected trouble is written to stderr as one sentence, never thrown. */
  readonly run: (input: Arguments<O>, streams: Streams) => Promise<number>;
};
