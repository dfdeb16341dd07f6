/** What is said: a question or a hint first, then messages, else what the preset is like. */
import { Box } from 'ink';
import { memo } from 'react';
import { aboutPreset } from '../preset-choice.ts';
import type { StageModel } from '../stage-model.ts';
import { wrappedRows } from '../text.ts';
import type { View } from '../view.ts';
import { sameContent } from './same-content.ts';
import { music, Run, Words } from './words.tsx';

export type Said = {
  readonly text: string;
  readonly tone: 'strong' | 'caution' | 'quiet';
}[];

/** A file's name stays as it is; notes and chords are spelled as everywhere on the screen. */
function spelled(sentence: string): string {
  return sentence
    .split(' ')
    .map((word) => (/[\\/].*[\\/]|\.[a-z]{3,4}\b|--/.test(word) ? word : music(word)))
    .join(' ');
}

export function saidOf(model: StageModel, { typing, hint }: View): Said {
  // A form shows what is wrong in its own place.
  const problem = typing?.purpose === 'row' ? '' : (typing?.problem ?? '');
  const said: Said = [
    {
      text: spelled(problem || hint || model.message),
      tone: problem === '' ? 'strong' : 'caution',
    },
    { text: spelled(model.state.notice), tone: 'caution' },
  ];
  const spoken = said.filter(({ text }) => text !== '');
  if (spoken.length > 0) return spoken;
  const unsound = model.editor?.problem;
  if (unsound !== undefined) {
    return [{ text: `Sounds as before until this is mended: ${unsound}`, tone: 'caution' }];
  }
  if (model.state.snapshot.isListening === true)
    return [{ text: listeningNow(model), tone: 'quiet' }];
  return [{ text: aboutPreset(model), tone: 'quiet' }];
}

/** Short enough for the narrowest page. */
function listeningNow({ bindings }: StageModel): string {
  const [key = ':'] = bindings?.['listen'] ?? [];
  return `Nothing is revoiced (${key} ends that).`;
}

/** Nothing that asks to be read. */
export function isQuiet(said: Said): boolean {
  return said.every(({ tone }) => tone === 'quiet');
}

/** Rows that what is said takes, as whole words wrap; what is said at rest takes one. */
export function rowsOfSaid(said: Said, width: number): number {
  if (isQuiet(said)) return 1;
  return Math.min(8, wrappedRows(said.map(({ text }) => text).join(' '), width));
}

type MessageProps = { readonly said: Said; readonly rows: number; readonly width: number };

export const Message = memo(function Message({ said, rows, width }: MessageProps) {
  return (
    <Box height={rows} width={width} flexShrink={0} overflowY="hidden">
      <Words wrap={isQuiet(said) ? 'truncate-end' : 'wrap'}>
        {said.map(({ text, tone }, place) => (
          <Run key={text} tone={tone}>{`${place > 0 ? ' ' : ''}${text}`}</Run>
        ))}
      </Words>
    </Box>
  );
}, sameContent);
