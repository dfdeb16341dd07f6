/** What may stand after an option or an action on the command line, for the shells' completions. */
import { knownNames } from '../../ensemble/ensemble.ts';
import { papers } from '../../io/engraving/engrave.ts';
import { switchings, themes } from '../../io/files/settings.ts';
import { bassPolicies, strategyIds } from '../../presets/preset.ts';
import { gridNames } from '../../score/grid.ts';
import { blankKinds } from '../../score/hand-out/blanks.ts';
import { reaches } from '../../voicing/hands.ts';
import { leadings } from '../revoice/revoice.ts';

export type CompletionValues = {
  /** Always the same. */
  readonly words?: readonly string[];
  /** A command line that prints more of them, one a line. */
  readonly list?: string;
  /** Names of files as well. */
  readonly areFiles?: boolean;
};

const presets = { list: 'handspan presets names' } as const;
const setlists = { list: 'handspan setlists names' } as const;
const takes = { list: 'handspan takes names' } as const;
const files = { areFiles: true } as const;

/** By the option's name, whatever command has it. */
export const optionValues: Readonly<Record<string, CompletionValues>> = {
  preset: presets,
  setlist: { ...setlists, words: ['favourites', 'all'] },
  theme: { words: themes },
  switching: { words: switchings },
  strategy: { words: strategyIds },
  compare: { ...presets, words: strategyIds },
  reach: { words: reaches },
  bass: { words: bassPolicies },
  for: { words: knownNames },
  leading: { words: leadings },
  grid: { words: gridNames },
  paper: { words: papers },
  blanks: { words: blankKinds },
  record: files,
  midi: files,
  musicxml: files,
  svg: files,
  'hand-out': files,
  pdf: files,
  out: files,
};

/** By command and action: what its words are, the last of them again and again. */
export const argumentValues: Readonly<
  Record<string, readonly [CompletionValues, ...CompletionValues[]]>
> = {
  'presets show': [presets],
  'presets copy': [presets, {}],
  'presets check': [files],
  'setlists show': [setlists],
  'setlists set': [setlists, presets],
  'setlists remove': [setlists],
  'takes show': [{ ...takes, words: ['last'] }],
  'takes export': [{ ...takes, words: ['last'] }],
  'takes remove': [{ ...takes, words: ['last'] }],
};
