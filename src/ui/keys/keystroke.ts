/** A keystroke as the key table reads it, whichever library read it from the terminal. */
import type { Key } from 'ink';

export const keyNames = [
  'up',
  'down',
  'left',
  'right',
  'tab',
  'escape',
  'return',
  'backspace',
  'delete',
  'pageup',
  'pagedown',
  'home',
  'end',
] as const;
export type KeyName = (typeof keyNames)[number];

export type Keystroke =
  | { readonly type: 'named'; readonly name: KeyName; readonly hasShift: boolean }
  | {
      readonly type: 'character';
      /** One printed character, letters in lower case: Caps Lock must not take the keys away. */
      readonly character: string;
      /** The character as it was typed, for text. */
      readonly typed: string;
      readonly hasControl: boolean;
      /** The key is still down, or came up; only terminals with the kitty keyboard protocol tell. */
      readonly phase?: 'repeat' | 'release';
    };

/**
 * What Ink reports, as single keystrokes in order. Keys struck faster than the terminal is read
 * arrive as one text: each of its characters is a keystroke of its own.
 */
export function keystrokesOf(input: string, key: Partial<Key>): readonly Keystroke[] {
  const { eventType } = key;
  const phase = eventType === 'repeat' || eventType === 'release' ? eventType : undefined;
  const name = namedKey(key);
  if (name)
    return phase === 'release' ? [] : [{ type: 'named', name, hasShift: key.shift ?? false }];
  // Alt and unknown escape sequences: none of ours, and their letters must not act as bare ones.
  if (key.meta || key.super || key.hyper) return [];
  return [...input].map((character): Keystroke => {
    const control = controlCharacters[character];
    if (control !== undefined) return { type: 'named', name: control, hasShift: false };
    const letter = controlLetter(character);
    if (letter !== undefined) {
      return { type: 'character', character: letter, typed: letter, hasControl: true };
    }
    return {
      type: 'character',
      character: character.toLowerCase(),
      typed: character,
      hasControl: key.ctrl ?? false,
      ...(phase !== undefined && { phase }),
    };
  });
}

/** Named keys as they stand in a text of several keystrokes (ECMA-48, C0 controls; DEL). */
const controlCharacters: { readonly [character: string]: KeyName } = {
  '\r': 'return',
  '\n': 'return',
  '\t': 'tab',
  '\b': 'backspace',
  '\u007F': 'backspace',
};

/** The letter held with Control that makes this character (ECMA-48: A is 1, Z is 26). */
function controlLetter(character: string): string | undefined {
  const code = character.charCodeAt(0);
  return code >= 1 && code <= 26 ? String.fromCharCode(code + 96) : undefined;
}

const named: readonly (readonly [keyof Key, KeyName])[] = [
  ['upArrow', 'up'],
  ['downArrow', 'down'],
  ['leftArrow', 'left'],
  ['rightArrow', 'right'],
  ['tab', 'tab'],
  ['escape', 'escape'],
  ['return', 'return'],
  ['backspace', 'backspace'],
  ['delete', 'delete'],
  ['pageUp', 'pageup'],
  ['pageDown', 'pagedown'],
  ['home', 'home'],
  ['end', 'end'],
];

function namedKey(key: Partial<Key>): KeyName | undefined {
  return named.find(([flag]) => key[flag] === true)?.[1];
}

/** As the key table and the settings write it: 'p', 'space', 'up', 'shift-tab', 'ctrl-l'. */
export function strokeName(stroke: Keystroke): string {
  if (stroke.type === 'named') {
    return stroke.name === 'tab' && stroke.hasShift ? 'shift-tab' : stroke.name;
  }
  const plain = stroke.character === ' ' ? 'space' : stroke.character;
  return stroke.hasControl ? `ctrl-${plain}` : plain;
}

const rowWithoutShift = ['à', '&1', 'é2', '"3', "'4", '(5', '-6§', 'è7', '_8!', 'ç9'];

/**
 * The figure a keystroke stands for, 0–9. Where the upper row gives figures only with Shift
 * (French, Belgian), its plain characters count as well.
 */
export function figureOf(stroke: Keystroke): number | undefined {
  if (stroke.type !== 'character' || stroke.hasControl) return undefined;
  if (stroke.character === '0') return 0;
  const place = rowWithoutShift.findIndex((signs) => signs.includes(stroke.character));
  return place < 0 ? undefined : place;
}
