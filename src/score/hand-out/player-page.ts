/** What a hand-out's player finds in its page: types alone, for what runs there imports nothing. */
import type { AudioMachine } from './player-sound.ts';

/** What is played, as the page carries it; times in quarter notes. */
export type HandOutMusic = {
  readonly pieces: readonly {
    /** Seconds of a quarter note. */
    readonly quarter: number;
    readonly treatments: readonly {
      /** Of each row of its table: MIDI note numbers. */
      readonly rows: readonly (readonly number[])[];
      /** Of each row, which notes of the staves are its own: how their names begin. */
      readonly marks: readonly string[];
      /** As it is played: row, start, length. */
      readonly order: readonly (readonly [row: number, start: number, length: number])[];
    }[];
  }[];
};

export type PageElement = {
  readonly dataset: Readonly<Record<string, string | undefined>>;
  readonly classList: { add: (name: string) => void; remove: (name: string) => void };
  readonly value: string;
  textContent: string | null;
  disabled: boolean;
  setAttribute: (name: string, value: string) => void;
  removeAttribute: (name: string) => void;
  addEventListener: (type: string, listener: (event: { readonly key?: string }) => void) => void;
};
export type Page = {
  getElementById: (id: string) => PageElement | null;
  querySelectorAll: (selector: string) => Iterable<PageElement>;
  addEventListener: PageElement['addEventListener'];
};
export type View = {
  readonly AudioContext?: new () => AudioMachine;
  requestAnimationFrame: (draw: () => void) => unknown;
};

/** What a button asks for: 'piece treatment', then a row, 'slow' or 'tempo', then how many. */
export type Wish = {
  readonly piece: string;
  readonly treatment: string;
  readonly pace: string;
  readonly most: number;
  readonly isQuestion: boolean;
};

/** A row of the table as it is played; seconds of the sound's clock. */
export type Struck = { readonly at: number; readonly end: number; readonly row: number };
