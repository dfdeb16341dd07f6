/**
 * What makes a hand-out play: its buttons, its slider and what it says. A function that runs in the
 * reader's browser and nowhere else: its text is put into the page, so that it stands for itself. It
 * imports nothing but types, and all it uses comes in by its arguments. Nothing is fetched.
 */
import type { handOutCourse } from './player-course.ts';
import type { handOutMarks } from './player-marks.ts';
import type { HandOutMusic, Page, PageElement, View, Wish } from './player-page.ts';
import type { handOutSound, PlayerSound } from './player-sound.ts';

/** The other functions of the page; see player-sound.ts, player-marks.ts, player-course.ts. */
export type PlayerParts = {
  readonly createSound: typeof handOutSound;
  readonly createMarks: typeof handOutMarks;
  readonly createCourse: typeof handOutCourse;
};

/** @param slow seconds of a chord where it is to be heard slowly. */
export function handOutPlayer(
  page: Page,
  view: View,
  slow: number,
  { createSound, createMarks, createCourse }: PlayerParts,
): void {
  const music: HandOutMusic = JSON.parse(page.getElementById('music')?.textContent ?? '');
  const [level, stop, said] = ['level', 'stop', 'said'].map((id) => page.getElementById(id));
  const marks = createMarks(page, music);
  const course = createCourse(view, music, slow);
  let sound: PlayerSound | null = null;
  /** Raised by each playing, so that what belongs to an earlier one is left alone. */
  let turn = 0;
  let pressed: PageElement | null = null;

  const say = (text: string): void => {
    if (said) said.textContent = text;
  };
  /** Loudness goes about with the square of the place on the slider. */
  const amplitude = () => (Number(level?.value ?? 3) / 10) ** 2;

  const silence = (): void => {
    turn += 1;
    marks.unmark();
    sound?.silence();
    pressed?.setAttribute('aria-pressed', 'false');
    pressed = null;
    if (stop) stop.disabled = true;
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
    const wish: Wish = { piece, treatment, pace, most, isQuestion: asked !== undefined };
    const struck = course.struckFor(wish, sound.now() + 0.08);
    sound.begin();
    pressed = button;
    button.setAttribute('aria-pressed', 'true');
    if (stop) stop.disabled = false;
    say(`Playing: ${button.dataset['told'] ?? ''}`);
    const mine = turn;
    const isOn = () => mine === turn;
    course.strike(wish, struck, sound, isOn);
    // Of a question the chord is not marked: that would answer it.
    const row = (each: number): void => {
      if (!wish.isQuestion) marks.mark(wish, each);
    };
    course.follow(struck, sound, isOn, { row, end: () => end('') });
  };

  const end = (text: string): void => {
    silence();
    say(text);
  };
  const endByHand = (): void => {
    if (pressed !== null) end('Stopped.');
  };
  for (const button of page.querySelectorAll('button[data-play]')) {
    button.disabled = false;
    button.addEventListener('click', () => play(button));
  }
  stop?.addEventListener('click', endByHand);
  page.addEventListener('keydown', ({ key }) => {
    if (key === 'Escape') endByHand();
  });
  level?.addEventListener('input', () => sound?.setLevel(amplitude()));
}
