/** The voicings nearest to the one chosen by ear, the chosen one pointed at. */
import { Box } from 'ink';
import { memo } from 'react';
import type { NearestChoices } from '../../live/snapshot.ts';
import { sameContent } from '../frame/same-content.ts';
import { music, Run, Words } from '../frame/words.tsx';

type ChoicesProps = {
  readonly choices: NearestChoices;
  readonly rows: number;
  readonly width: number;
};

export const Choices = memo(function Choices({ choices, rows, width }: ChoicesProps) {
  const { by, index, of, near } = choices;
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      <Words tone="quiet">{`by ear: ${by} ${index} of ${of}`}</Words>
      {near.slice(0, rows - 1).map((choice) => (
        <Words key={choice.index} tone={choice.index === index ? 'strong' : 'plain'}>
          <Run>{choice.index === index ? '▸ ' : '  '}</Run>
          <Run>{`${music(choice.symbol)} `}</Run>
          <Run tone="quiet">{music(`${choice.voices.join(' ')}  ${choice.label}`)}</Run>
        </Words>
      ))}
    </Box>
  );
}, sameContent);
