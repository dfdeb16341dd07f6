/** The page as Ink draws it: its lines, or for a screen reader its sentences. */
import { Box, Text } from 'ink';
import { frameOf } from './lines.ts';
import { type PageProps, pageLines } from './page.ts';
import { spokenLines } from './spoken.ts';

export type ScreenProps = PageProps;

export function Screen(props: ScreenProps) {
  return <Text wrap="truncate">{frameOf(props.look, pageLines(props))}</Text>;
}

/** Sentences, one a line. */
export function SpokenScreen({ model, view }: Pick<ScreenProps, 'model' | 'view'>) {
  return (
    <Box flexDirection="column">
      {spokenLines(model, view).map((line) => (
        <Text key={line}>{line}</Text>
      ))}
    </Box>
  );
}
