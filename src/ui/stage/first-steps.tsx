/** The first steps of somebody new, where the voices will be; gone by themselves with the first chord. */
import { Box } from 'ink';
import { Run, Words } from '../frame/words.tsx';
import type { StageModel } from '../stage-model.ts';

type Step = { readonly isDone: boolean; readonly name: string; readonly words: string };

/** In rehearsal there is nothing to connect, so nothing is said of it. */
function stepsOf({ mode, guidance }: StageModel): readonly Step[] {
  if (guidance === undefined) return [];
  const isRehearsal = mode === 'rehearsal';
  const connect: Step = {
    isDone: guidance.isConnected,
    name: 'Connect',
    words: "keyboard into 'Handspan in', DAW track from 'Handspan out'.",
  };
  const play = isRehearsal
    ? 'keys 1 to 7 are the chords of the key; Return takes any symbol; d plays a demo.'
    : 'hold a triad. Small is what was heard, large what sounds.';
  return [
    ...(isRehearsal ? [] : [connect]),
    {
      isDone: guidance.isChosen,
      name: 'Choose',
      words: 'arrows up and down, or the presets page (Tab).',
    },
    { isDone: guidance.isPlayed, name: 'Play', words: play },
  ];
}

export function FirstSteps({
  model,
  width,
}: {
  readonly model: StageModel;
  readonly width: number;
}) {
  const steps = stepsOf(model);
  if (steps.length === 0) return null;
  return (
    <Box flexDirection="column" width={width} flexShrink={0}>
      <Words tone="quiet">first steps</Words>
      {steps.map(({ isDone, name, words }, place) => (
        <Box key={name} columnGap={1} flexShrink={0}>
          <Box flexShrink={0}>
            <Words tone={isDone ? 'quiet' : 'strong'}>{`${isDone ? '●' : '○'} ${place + 1}`}</Words>
          </Box>
          <Words tone={isDone ? 'quiet' : 'plain'} wrap="wrap">
            <Run tone={isDone ? 'quiet' : 'strong'}>{`${name}: `}</Run>
            {isDone ? 'done.' : words}
          </Words>
        </Box>
      ))}
      {model.sound?.isOn === true && (
        <Words tone="quiet" wrap="wrap">
          s turns the built-in sound off, + and the arrows its level: set your monitors low first.
        </Words>
      )}
    </Box>
  );
}
