/**
 * What makes a hand-out play: a function that runs in the reader's browser and nowhere else. Its text
 * is put into the page, so that it stands for itself: it imports nothing, and all it uses comes in by
 * its arguments. Nothing is fetched.
 */
import type { AudioMachine, PlayerSound } from './player-sound.ts';

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

type PageElement = {
  readonly dataset: Readonly<Record<string, string | undefined>>;
  readonly classList: { add: (name: string) => void; remove: (name: string) => void };
  readonly value: string;
  textContent: string | null;
  disabled: boolean;
  setAttribute: (name: string, value: string) => void;
  removeAttribute: (name: string) => void;
  addEventListener: (type: string, listener: (event: { readonly key?: string }) => void) => void;
};
type Page = {
  getElementById: (id: string) => PageElement | null;
  querySelectorAll: (selector: string) => Iterable<PageElement>;
  addEventListener: PageElement['addEventListener'];
};
type View = {
  readonly AudioContext?: new () => AudioMachine;
  requestAnimationFrame: (draw: () => void) => unknown;
};

/**
 * @param slow seconds of a chord where it is to be heard slowly.
 * @param createSound see player-sound.ts.
 */
export function handOutPlayer(
  page: Page,
  view: View,
  slow: number,
  createSound: (machine: AudioMachine, amplitude: number) => PlayerSound,
): void {
  type Struck = { readonly at: number; readonly end: number; readonly row: number };
  /** What a button asks for: 'piece treatment', then a row, 'slow' or 'tempo', then how many. */
  type Wish = {
    readonly piece: string;
    readonly treatment: string;
    readonly pace: string;
    readonly most: number;
    readonly isQuestion: boolean;
  };
  const music: HandOutMusic = JSON.parse(page.getElementById('music')?.textContent ?? '');
  const level = page.getElementById('level');
  const stop = page.getElementById('stop');
  const said = page.getElementById('said');
  let sound: PlayerSound | null = null;
  /** Raised by each playing, so that what belongs to an earlier one is left alone. */
  let turn = 0;
  let marked: PageElement[] = [];
  let pressed: PageElement | null = null;

  const say = (text: string): void => {
    if (said !== null) said.textContent = text;
  };
  /** Loudness goes about with the square of the place on the slider. */
  const amplitude = () => (Number(level?.value ?? 3) / 10) ** 2;

  const unmark = () => {
    for (const element of marked) {
      element.removeAttribute('aria-current');
      element.classList.remove('sounding');
    }
    marked = [];
  };
  /** The row of the table, and the notes of the staves. */
  const mark = ({ piece, treatment }: Wish, row: number) => {
    unmark();
    const id = music.pieces[Number(piece)]?.treatments[Number(treatment)]?.marks[row] ?? '';
    const rows = page.querySelectorAll(`tr[data-row="${piece} ${treatment} ${row}"]`);
    const notes = page.querySelectorAll(`figure[data-piece="${piece}"] [data-id^="${id}"]`);
    for (const element of rows) element.setAttribute('aria-current', 'true');
    for (const element of notes) element.classList.add('sounding');
    marked = [...rows, ...notes];
  };

  const silence = () => {
    turn += 1;
    unmark();
    sound?.silence();
    pressed?.setAttribute('aria-pressed', 'false');
    pressed = null;
    if (stop !== null) stop.disabled = true;
  };

  const struckFor = ({ piece, treatment, pace, most }: Wish, start: number): readonly Struck[] => {
    const own = music.pieces[Number(piece)];
    const order = own?.treatments[Number(treatment)]?.order ?? [];
    const quarter = own?.quarter ?? 0;
    if (/^\d+$/.test(pace)) return [{ at: start, end: start + slow, row: Number(pace) }];
    return order
      .slice(0, Number(most))
      .map(([row, from, length], place) =>
        pace === 'slow'
          ? { at: start + place * slow, end: start + (place + 1) * slow, row }
          : { at: start + from * quarter, end: start + (from + length) * quarter, row },
      );
  };

  /** A few chords ahead, the others as those before them end: a long piece is never made at once. */
  const strikeAll = (wish: Wish, struck: readonly Struck[], playing: PlayerSound) => {
    const mine = turn;
    const ahead = 4;
    const rows = music.pieces[Number(wish.piece)]?.treatments[Number(wish.treatment)]?.rows ?? [];
    const strike = (place: number): void => {
      const chord = struck[place];
      if (chord === undefined || mine !== turn) return;
      const notes = rows[chord.row] ?? [];
      const next = () => strike(place + ahead);
      if (notes.length === 0) next();
      else playing.strike(notes, chord.at, chord.end - chord.at, next);
    };
    for (let place = 0; place < ahead; place += 1) strike(place);
  };

  /** Of a question the chord is not marked: that would answer it. */
  const follow = (wish: Wish, struck: readonly Struck[], playing: PlayerSound) => {
    const mine = turn;
    let shown = -1;
    const draw = (): void => {
      if (mine !== turn) return;
      const now = playing.now();
      if (now > (struck[struck.length - 1]?.end ?? 0)) {
        silence();
        say('');
        return;
      }
      const place = struck.findLastIndex(({ at }) => at <= now);
      const chord = struck[place];
      if (chord !== undefined && place !== shown && !wish.isQuestion) mark(wish, chord.row);
      shown = place;
      view.requestAnimationFrame(draw);
    };
    view.requestAnimationFrame(draw);
  };

  const play = (button: PageElement): void => {
    const isAgain = pressed === button;
    silence();
    if (isAgain || view.AudioContext === undefined) {
      say(isAgain ? 'Stopped.' : 'This browser makes no sound by itself.');
      return;
    }
    sound ??= createSound(new view.AudioContext(), amplitude());
    const [piece = '', treatment = '', pace = '', asked] = button.dataset['play']?.split(' ') ?? [];
    const most = asked === undefined ? Number.POSITIVE_INFINITY : Number(asked);
    const wish = { piece, treatment, pace, most, isQuestion: asked !== undefined };
    const struck = struckFor(wish, sound.now() + 0.08);
    sound.begin();
    pressed = button;
    button.setAttribute('aria-pressed', 'true');
    if (stop !== null) stop.disabled = false;
    say(`Playing: ${button.dataset['told'] ?? ''}`);
    strikeAll(wish, struck, sound);
    follow(wish, struck, sound);
  };

  const end = () => {
    if (pressed === null) return;
    silence();
    say('Stopped.');
  };
  for (const button of page.querySelectorAll('button[data-play]')) {
    button.disabled = false;
    button.addEventListener('click', () => play(button));
  }
  stop?.addEventListener('click', end);
  page.addEventListener('keydown', ({ key }) => {
    if (key === 'Escape') end();
  });
  level?.addEventListener('input', () => sound?.setLevel(amplitude()));
}
