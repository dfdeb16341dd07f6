/**
 * The course of what a hand-out plays, chord after chord: a function that runs in the reader's browser and
 * nowhere else. Its text is put into the page, so that it imports nothing but types. Times are seconds.
 */
import type { HandOutMusic, Struck, View, Wish } from './player-page.ts';
import type { PlayerSound } from './player-sound.ts';

export type PlayerCourse = {
  /** When each chord of it is struck, from `start` on. */
  readonly struckFor: (wish: Wish, start: number) => readonly Struck[];
  /** Strikes them for as long as it `isOn`. */
  readonly strike: (
    wish: Wish,
    struck: readonly Struck[],
    sound: PlayerSound,
    isOn: () => boolean,
  ) => void;
  /** Tells the row of each as it sounds, and the end. */
  readonly follow: (
    struck: readonly Struck[],
    sound: PlayerSound,
    isOn: () => boolean,
    told: { readonly row: (row: number) => void; readonly end: () => void },
  ) => void;
};

/** @param slow seconds of a chord where it is to be heard slowly. */
export function handOutCourse(view: View, music: HandOutMusic, slow: number): PlayerCourse {
  const treatmentOf = ({ piece, treatment }: Wish) =>
    music.pieces[Number(piece)]?.treatments[Number(treatment)];
  return {
    struckFor: (wish, start) => {
      const { piece, pace, most } = wish;
      const order = treatmentOf(wish)?.order ?? [];
      const quarter = music.pieces[Number(piece)]?.quarter ?? 0;
      if (/^\d+$/.test(pace)) return [{ at: start, end: start + slow, row: Number(pace) }];
      return order
        .slice(0, Number(most))
        .map(([row, from, length], place) =>
          pace === 'slow'
            ? { at: start + place * slow, end: start + (place + 1) * slow, row }
            : { at: start + from * quarter, end: start + (from + length) * quarter, row },
        );
    },
    // A few chords ahead, the others as those before them end: a long piece is never made at once.
    strike: (wish, struck, sound, isOn) => {
      const ahead = 4;
      const rows = treatmentOf(wish)?.rows ?? [];
      const strike = (place: number): void => {
        const chord = struck[place];
        if (chord === undefined || !isOn()) return;
        const notes = rows[chord.row] ?? [];
        const next = () => strike(place + ahead);
        if (notes.length === 0) next();
        else sound.strike(notes, chord.at, chord.end - chord.at, next);
      };
      for (let place = 0; place < ahead; place += 1) strike(place);
    },
    follow: (struck, sound, isOn, told) => {
      let shown = -1;
      const draw = (): void => {
        if (!isOn()) return;
        const now = sound.now();
        if (now > (struck[struck.length - 1]?.end ?? 0)) {
          told.end();
          return;
        }
        const place = struck.findLastIndex(({ at }) => at <= now);
        const chord = struck[place];
        if (chord !== undefined && place !== shown) told.row(chord.row);
        shown = place;
        view.requestAnimationFrame(draw);
      };
      view.requestAnimationFrame(draw);
    },
  };
}
