/** The voicings nearest to the one chosen by ear, the chosen one pointed at. */
import { Box } from 'ink';
import { memo } from 'react';
import type { NearestChoices } from '../../live/snapshot.ts';
import { sameContent } from '../frame/same-content.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { widthOf } from '../text.ts';

type ChoicesProps = {
  readonly choices: NearestChoices;
  readonly rows: number;
  readonly width: number;
};

type Line = {
  readonly key: number;
  readonly isChosen: boolean;
  readonly symbol: string;
  readonly rest: string;
};

type Lines = { readonly heading: string; readonly lines: readonly Line[] };

/** What all of them have in common, '' where they differ. */
function common(texts: readonly string[]): string {
  const [first = ''] = texts;
  return texts.every((text) => text === first) ? first : '';
}

/**
 * The technique is what the ear chooses by, and is not cut: where a line has no room for all, what
 * the voicings have in common stands in the heading, else the technique on a line of its own.
 */
export function choiceLines({ by, index, of, near }: NearestChoices, width: number): Lines {
  const heading = `by ear: ${by} ${index} of ${of}`;
  const whole = near.map((choice) => ({
    key: choice.index,
    isChosen: choice.index === index,
    symbol: `${music(choice.symbol)} `,
    notes: music(choice.voices.join(' ')),
    label: music(choice.label),
  }));
  const lineOf = ({ notes, label, ...line }: (typeof whole)[number]): Line => ({
    ...line,
    rest: `${notes}  ${label}`,
  });
  const fits = ({ symbol, rest }: Line): boolean => 2 + widthOf(symbol + rest) <= width;
  const plain = whole.map(lineOf);
  if (plain.every(fits)) return { heading, lines: plain };
  const [label, symbol] = [
    common(whole.map((each) => each.label)),
    common(whole.map((each) => each.symbol)),
  ];
  const about = [label, label === '' ? '' : symbol.trim()].filter(Boolean).join(', ');
  const long = `${heading}, ${about}`;
  const isSaid = about !== '' && widthOf(long) <= width;
  const shorter = whole.map((each): Line => {
    const without = symbol === '' ? each : { ...each, symbol: '' };
    return isSaid ? { ...without, rest: each.notes } : lineOf(without);
  });
  if (shorter.every(fits)) return { heading: isSaid ? long : heading, lines: shorter };
  return {
    heading,
    lines: whole.flatMap(({ key, isChosen, symbol: own, notes, label: technique }): Line[] => [
      { key, isChosen, symbol: own, rest: notes },
      { key: -key, isChosen: false, symbol: '', rest: `  ${technique}` },
    ]),
  };
}

export const Choices = memo(function Choices({ choices, rows, width }: ChoicesProps) {
  const { heading, lines } = choiceLines(choices, width);
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      <Words tone="quiet">{heading}</Words>
      {lines.slice(0, rows - 1).map(({ key, isChosen, symbol, rest }) => (
        <Words key={key} tone={isChosen ? 'strong' : 'plain'}>
          <Run>{isChosen ? '▸ ' : '  '}</Run>
          <Run>{symbol}</Run>
          <Run tone="quiet">{rest}</Run>
        </Words>
      ))}
    </Box>
  );
}, sameContent);
