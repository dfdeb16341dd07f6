/** Keys of the chords page. */

import { chordsOf, placeOf, placeOfMark } from '../look-back.ts';
import { type KeyAction, type KeyRow, type Struck, viewAction } from './key-row.ts';

function lookBack({ view, model, which }: Struck): KeyAction {
  const oldest = Math.max(0, chordsOf(model).length - 1);
  const step = [1, -1, 1, -1, 8, -8][which];
  const back = step === undefined ? 0 : view.chordsBack + step;
  return viewAction({ type: 'lookBack', chords: Math.min(oldest, Math.max(0, back)) });
}

function stretch({ view, model }: Struck): { readonly from: number; readonly to: number } {
  const to = placeOf(model, view.chordsBack);
  const marked = placeOfMark(model, view.chordMark);
  // Of a tune all that was played, for it goes back into its bars.
  const unmarked = model.tune === undefined ? Math.max(0, to - 7) : 0;
  const from = marked < 0 ? unmarked : marked;
  return { from: Math.min(from, to), to: Math.max(from, to) };
}

export const chordKeys: readonly KeyRow[] = [
  {
    id: 'look-back',
    strokes: ['left', 'right', 'up', 'down', 'pageup', 'pagedown', 'end'],
    isPair: true,
    brief: 'earlier, later',
    short: 'chord before, after',
    help: 'chord before, chord after (Page keys: by eight; End: newest)',
    pages: ['chords'],
    act: lookBack,
  },
  {
    id: 'pin',
    strokes: ['o'],
    brief: 'other reading',
    short: 'read by its other name',
    help: 'read these notes by their other name from now on; again: as before',
    pages: ['chords'],
    act: ({ model, view }) => ({ type: 'pinReading', place: placeOf(model, view.chordsBack) }),
  },
  {
    id: 'mark',
    strokes: ['return'],
    brief: 'mark',
    short: 'stretch to send begins',
    help: 'mark where the stretch to send, or to learn from, begins; unmarked: the last eight chords, over a tune all of them',
    pages: ['chords'],
    act: ({ model, view }) => {
      const chord = chordsOf(model)[placeOf(model, view.chordsBack)];
      return viewAction({ type: 'mark', chord: view.chordMark === chord ? undefined : chord });
    },
  },
  {
    id: 'chart',
    strokes: ['c'],
    brief: 'copy to a chart',
    short: 'stretch to a chart',
    help: 'copy the stretch out as a chord chart',
    pages: ['chords'],
    act: (struck) => ({ type: 'writeChart', ...stretch(struck) }),
  },
  {
    id: 'compare',
    strokes: ['|'],
    brief: 'compare',
    short: 'stretch in your presets',
    help: 'write the stretch side by side in the presets on stage, eight at the most',
    pages: ['chords'],
    act: (struck) => ({ type: 'compareChords', ...stretch(struck) }),
  },
  {
    id: 'take',
    strokes: ['w'],
    brief: 'keep as a take',
    short: 'stretch to a take',
    help: 'keep the stretch as a take',
    pages: ['chords'],
    act: (struck) => ({ type: 'writeTake', ...stretch(struck) }),
  },
];
