/** Keys that choose by ear: other voicings of the chord that sounds, or sounded last. */
import type { Turn } from '../../live/snapshot.ts';
import { placeOfMark } from '../look-back.ts';
import { freeName } from '../own-name.ts';
import { turnsInOrder } from '../view.ts';
import { type KeyAction, type KeyRow, type Struck, viewAction } from './key-row.ts';

function turnAfter(turn: Turn, step: 1 | -1): Turn {
  const { length } = turnsInOrder;
  return turnsInOrder[(turnsInOrder.indexOf(turn) + step + length) % length] ?? 'voicing';
}

/** What was taken is named first. */
function takeOrName({ model: { takenShape } }: Struck): KeyAction {
  if (takenShape === undefined) return { type: 'takeShape' };
  const text = `Own shape on ${takenShape.chord}`;
  const typing = { purpose: 'shape', target: takenShape.text, text, isSelected: true } as const;
  return viewAction({ type: 'type', typing });
}

/** Under a name that no preset has yet. */
function nameTexture({ model, view: { chordMark } }: Struck): KeyAction {
  const { allPresets, presets } = model;
  const text = freeName('My texture', allPresets ?? presets);
  const isMarked = chordMark !== undefined && placeOfMark(model, chordMark) >= 0;
  const target = isMarked ? String(chordMark.atMicroseconds) : '';
  const typing = { purpose: 'learn', target, text, isSelected: true } as const;
  return viewAction({ type: 'type', typing });
}

const where = { pages: ['stage', 'presets', 'chords'], isEditing: false } as const;

export const choiceKeys: readonly KeyRow[] = [
  {
    ...where,
    id: 'turn',
    strokes: [',', '.'],
    isPair: true,
    brief: 'by ear',
    short: 'voicing before, next',
    help: 'the chord that sounds, or sounded last, in the voicing before, the next one',
    act: ({ view, which }) => ({ type: 'choose', turn: view.turning, step: which === 0 ? -1 : 1 }),
  },
  {
    ...where,
    id: 'turn-what',
    // Not a capital Y, which Caps Lock makes of every y.
    strokes: ['y', 'ctrl-y'],
    brief: 'turn what',
    short: 'voicing, bass, technique …',
    help: 'what , and . turn: voicing, bass, technique, lead, number of voices (Ctrl Y: the one before)',
    act: ({ view, which }) =>
      viewAction({ type: 'turnWhat', turn: turnAfter(view.turning, which === 0 ? 1 : -1) }),
  },
  {
    ...where,
    id: 'keep-voicing',
    strokes: ['j'],
    brief: 'keep it',
    short: 'keep the voicing',
    help: 'keep the voicing of the last chord in the preset; the set-up page says for which chords',
    act: () => ({ type: 'keepVoicing' }),
  },
  {
    ...where,
    id: 'shape',
    strokes: ['='],
    brief: 'shape',
    short: 'take a shape from the hands',
    help: 'hold a chord plainly, press this, play the chord as you would voice it; again: name that',
    act: takeOrName,
  },
  {
    ...where,
    id: 'learn',
    strokes: ['*'],
    brief: 'learn',
    short: 'a preset of what you played',
    help: 'play chords as you voice them, press this: what was just played, recorded, or played since the mark on the chords page becomes a preset',
    act: nameTexture,
  },
  {
    ...where,
    id: 'listen',
    strokes: [':'],
    brief: 'listen',
    short: 'name it, revoice nothing',
    help: 'listen: what you play sounds as played and is named, nothing is revoiced; again: chords are voiced',
    act: () => ({ type: 'listen' }),
  },
  {
    ...where,
    id: 'latch',
    strokes: ['z'],
    brief: 'latch',
    short: 'hold until the next chord',
    help: 'latch: what sounds stays until the next chord; again: no longer',
    act: () => ({ type: 'latch' }),
  },
];
