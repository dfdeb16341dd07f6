/** The keys at the foot and the keys on the help page, both from the one table. */
import { type KeyRow, keysIn } from './keys.ts';
import { type Look, signsOf } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { fill, type Span, widthOf } from './text.ts';

type Lines = readonly (readonly Span[])[];

/** '{up}{down}' as the terminal can print it. */
export function keyLabel(look: Look, row: KeyRow): string {
  const signs = signsOf(look);
  return row.keys
    .replace('}{', look.hasUnicode ? '} {' : '}/{')
    .replace('{up}', signs.up)
    .replace('{down}', signs.down)
    .replace('{left}', signs.left)
    .replace('{right}', signs.right)
    .replace('–', signs.dash);
}

/** As many keys as whole entries fit, in the order of the table. */
export function footLines(
  look: Look,
  mode: StageModel['mode'],
  rows: number,
  width: number,
): Lines {
  const lines: Span[][] = [[]];
  let used = 0;
  for (const row of keysIn(mode)) {
    const keys = keyLabel(look, row);
    const wide = widthOf(`${keys} ${row.brief}`);
    if (used > 0 && used + 3 + wide > width) {
      if (lines.length === rows) break;
      lines.push([]);
      used = 0;
    }
    const space = used > 0 ? '   ' : '';
    lines
      .at(-1)
      ?.push({ text: space + keys, tone: 'strong' }, { text: ` ${row.brief}`, tone: 'quiet' });
    used += space.length + wide;
  }
  return lines;
}

/** Asked once to leave: the foot says how to go and how to stay, in place of the keys. */
export function leavingLines(): Lines {
  return [
    [
      { text: 'q', tone: 'strong' },
      { text: ' again leaves and silences everything; any other key stays' },
    ],
  ];
}

export const cautions = [
  'Added voices raise the level: set monitoring low first.',
  'Wide stretches strain hands.',
] as const;

/** The help page: every key of the mode, and the caution in one quiet line if it fits. */
export function helpLines(
  look: Look,
  mode: StageModel['mode'],
  rows: number,
  width: number,
): Lines {
  const keys = keysIn(mode).map((row): readonly Span[] => [
    { text: fill(look, keyLabel(look, row), look.hasUnicode ? 8 : 12), tone: 'strong' },
    { text: row.help },
  ]);
  const inOne = cautions.join(' ');
  const caution = (widthOf(inOne) <= width ? [inOne] : cautions).map((text): readonly Span[] => [
    { text, tone: 'quiet' },
  ]);
  const space = keys.length + caution.length < rows ? [[]] : [];
  return [...space, ...keys, ...(keys.length + caution.length + 1 < rows ? [[]] : []), ...caution];
}
