/**
 * Three steps for somebody new: connect, choose, play. Shown where the chord will be, and gone by
 * itself with the first chord.
 */
import { type Look, signsOf } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { type Span, wrapWords } from './text.ts';

/** A line in place of a symbol. */
export function guidanceHint({ mode }: StageModel): string {
  return mode === 'rehearsal' ? 'Press 1 for a chord.' : 'Hold a chord: a triad is enough.';
}

type Step = { readonly isDone: boolean; readonly words: string };

function stepsOf({ mode, guidance }: StageModel): readonly Step[] {
  if (guidance === undefined) return [];
  const connect =
    mode === 'rehearsal'
      ? 'Connect: nothing to do, the number keys play instead of a keyboard.'
      : "Connect: keyboard into 'Handspan in', DAW track from 'Handspan out'.";
  const play =
    mode === 'rehearsal'
      ? 'Play: the number keys 1 to 7 are the chords of the key; d plays a demo.'
      : 'Play: hold a triad. Left is what you play, right what sounds.';
  return [
    { isDone: guidance.isConnected, words: connect },
    { isDone: guidance.isChosen, words: 'Choose: arrows up and down, or the presets page (Tab).' },
    { isDone: guidance.isPlayed, words: play },
  ];
}

/** Lines at most `width` wide, or none once the steps have been gone through. */
export function guidanceLines(
  look: Look,
  model: StageModel,
  width: number,
): readonly (readonly Span[])[] {
  const { on, off } = signsOf(look);
  return stepsOf(model).flatMap(({ isDone, words }, place): readonly (readonly Span[])[] => {
    const text = isDone ? `${words.split(':', 1)[0]}: done.` : words;
    const lines = wrapWords(text, width - 4).map((line, row): readonly Span[] => [
      {
        text: row === 0 ? `${isDone ? on : off} ${place + 1} ` : '    ',
        tone: isDone ? 'quiet' : 'strong',
      },
      { text: line, tone: isDone ? 'quiet' : 'plain' },
    ]);
    return [...lines, []];
  });
}
