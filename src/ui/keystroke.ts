/** A keystroke as the key table reads it, whichever library read it from the terminal. */
import type { Key } from 'ink';

export const keyNames = ['up', 'down', 'left', 'right', 'tab', 'escape'] as const;
export type KeyName = (typeof keyNames)[number];

export type Keystroke =
  | { readonly type: 'named'; readonly name: KeyName; readonly hasShift: boolean }
  /** One printed character, letters in lower case: Caps Lock must not take the keys away. */
  | { readonly type: 'character'; readonly character: string; readonly hasControl: boolean };

/**
 * What Ink reports, as single keystrokes in order. Keys struck faster than the terminal is read
 * arrive as one text: each of its characters is a keystroke of its own.
 */
export function keystrokesOf(input: string, key: Partial<Key>): readonly Keystroke[] {
  const name = namedKey(key);
  if (name) return [{ type: 'named', name, hasShift: key.shift ?? false }];
  // Alt and unknown escape sequences: none of ours, and their letters must not act as bare ones.
  if (key.meta) return [];
  return [...input].map((character) => ({
    type: 'character',
    character: character.toLowerCase(),
    hasControl: key.ctrl ?? false,
  }));
}

function namedKey(key: Partial<Key>): KeyName | undefined {
  if (key.upArrow) return 'up';
  if (key.downArrow) return 'down';
  if (key.leftArrow) return 'left';
  if (key.rightArrow) return 'right';
  if (key.tab) return 'tab';
  return key.escape ? 'escape' : undefined;
}
