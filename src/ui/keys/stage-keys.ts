/** Keys of the stage, where somebody plays. */

import { occurrenceAt, placeThatPlays } from '../preset-choice.ts';
import type { Intent, ScaleDegree, StageModel } from '../stage-model.ts';
import { type KeyAction, type KeyRow, type Struck, viewAction } from './key-row.ts';

function move({ view, which }: Struck): Intent {
  const { inHand } = view;
  const step = which === 0 ? -1 : 1;
  switch (inHand.type) {
    case 'key':
      return { type: 'transposeKey', semitones: step };
    case 'chordType':
      return { type: 'stepChordType', step };
    case 'inversion':
      return { type: 'stepInversion', step };
    case 'level':
      return { type: 'stepSoundLevel', step };
    case 'register': {
      const { register, edge } = inHand;
      return { type: 'moveRegister', register, edge, semitones: step };
    }
  }
}

function presetByPlace({ model, which }: Struck): KeyAction | undefined {
  const place = which - 1;
  const preset = model.presets[place];
  if (!preset || placeThatPlays(model) === place) return undefined;
  return {
    type: 'choosePreset',
    id: preset.id,
    occurrence: occurrenceAt(model.presets, place),
  };
}

function degree({ which, phase }: Struck): KeyAction | undefined {
  if (phase === 'repeat') return undefined;
  const type = phase === 'release' ? 'releaseDegree' : 'playDegree';
  return { type, degree: which as ScaleDegree };
}

/** On every page, as long as no text is typed: somebody may play while looking at something else. */
export const playingKeys: readonly KeyRow[] = [
  {
    id: 'degree',
    strokes: [],
    figures: [1, 7],
    brief: 'play',
    short: 'the chord on that degree',
    help: 'play the chord on that degree of the key',
    mode: 'rehearsal',
    act: degree,
  },
  {
    id: 'let-go',
    strokes: [],
    figures: [0, 0],
    brief: 'let go',
    help: 'let go',
    mode: 'rehearsal',
    act: () => ({ type: 'letGo' }),
  },
];

/** Taken again, the key goes from a set one to the one heard from what is played, and to none. */
function takeKey({ view, model }: Struck): KeyAction {
  const action = { type: 'take', what: 'key' } as const;
  if (view.inHand.type !== 'key') return viewAction(action);
  const isNone = !model.isKeyFollowed && model.state.snapshot.key === '';
  const isNext = isNone || !model.isKeyFollowed;
  return { type: 'view', action, intent: { type: isNext ? 'followKey' : 'clearKey' } };
}

export const stageKeys: readonly KeyRow[] = [
  {
    id: 'demo',
    strokes: ['d'],
    brief: 'demo',
    short: 'start or stop the demo',
    help: 'start or stop the demo',
    mode: 'rehearsal',
    pages: ['stage'],
    act: () => ({ type: 'toggleDemo' }),
  },
  {
    id: 'demo-two-hands',
    strokes: ['g'],
    brief: 'two hands',
    short: 'the demo for two hands',
    help: 'start or stop the demo for two hands: melody, walking bass and pedal',
    mode: 'rehearsal',
    pages: ['stage'],
    act: () => ({ type: 'toggleDemo', tune: 'two hands' }),
  },
  {
    id: 'preset',
    strokes: ['up', 'down'],
    isPair: true,
    brief: 'preset',
    short: 'preset before, after',
    help: 'preset before, preset after',
    pages: ['stage'],
    act: ({ which }) => ({ type: which === 0 ? 'previousPreset' : 'nextPreset' }),
  },
  {
    id: 'preset-place',
    strokes: [],
    figures: [1, 9],
    brief: 'preset',
    short: 'preset by its place',
    help: 'preset by its place in the list',
    mode: 'ports',
    pages: ['stage'],
    act: presetByPlace,
  },
  {
    id: 'write-chord',
    strokes: ['return'],
    brief: 'type a chord',
    short: 'type a chord: Eb7/G',
    help: 'type chords (Eb7/G Ab, or just the notes: C3,G3,E4) and play one by each Return; a number is a preset of the list',
    mode: 'rehearsal',
    pages: ['stage'],
    act: () => viewAction({ type: 'type', typing: { purpose: 'chord', target: '', text: '' } }),
  },
  {
    id: 'hear-again',
    strokes: ['space'],
    brief: 'hear again',
    short: 'hear the last chord',
    help: 'hear the last chord again',
    pages: ['stage'],
    act: ({ model }) => ({ type: 'audition', id: model.state.snapshot.preset }),
  },
];

const hasTune = ({ tune }: StageModel): boolean => tune !== undefined;
const noTune = 'There is no tune on the stage; open a chart on the charts page.';

/** Of a tune on the stage. */
export const tuneKeys: readonly KeyRow[] = [
  {
    id: 'section',
    strokes: ['pageup', 'pagedown'],
    isPair: true,
    brief: 'section',
    short: 'section before, after',
    help: 'the next chord is in the section before, the section after',
    pages: ['stage'],
    isOffered: hasTune,
    otherwise: noTune,
    act: ({ which }) => ({ type: 'movePlace', move: { to: 'section', by: which === 0 ? -1 : 1 } }),
  },
  {
    id: 'top',
    strokes: ['home'],
    brief: 'top',
    short: 'the tune from its top',
    help: 'the next chord is the first of the tune',
    pages: ['stage'],
    isOffered: hasTune,
    otherwise: noTune,
    act: () => ({ type: 'movePlace', move: { to: 'top' } }),
  },
  {
    id: 'one-key',
    strokes: ['end'],
    brief: 'one key',
    short: 'any key: the next chord',
    help: 'any key plays the next chord of the tune, the same key again the same chord',
    pages: ['stage'],
    isOffered: hasTune,
    otherwise: noTune,
    act: () => ({ type: 'toggleOneKey' }),
  },
  {
    id: 'reload-chart',
    strokes: ['ctrl-r'],
    brief: 'read chart',
    short: 'read the chart anew',
    help: 'the chart is read anew and played from here on; changed on disk, it waits for the next top',
    pages: ['stage'],
    isOffered: hasTune,
    otherwise: noTune,
    act: () => ({ type: 'reloadChart' }),
  },
];

/** What the figures play. */
export const rehearsalKeys: readonly KeyRow[] = [
  {
    id: 'chord-type',
    strokes: ['t'],
    brief: 'type',
    short: 'next chord type for 1–7',
    help: 'next chord type for the number keys: triads, sevenths, major …; then the arrows choose',
    mode: 'rehearsal',
    pages: ['stage', 'presets'],
    act: () => ({
      type: 'view',
      action: { type: 'take', what: 'chordType' },
      intent: { type: 'stepChordType', step: 1 },
    }),
  },
  {
    id: 'inversion',
    strokes: ['i'],
    brief: 'inversion',
    short: 'next inversion for 1–7',
    help: 'next inversion for the number keys; then the arrows choose',
    mode: 'rehearsal',
    pages: ['stage', 'presets'],
    act: () => ({
      type: 'view',
      action: { type: 'take', what: 'inversion' },
      intent: { type: 'stepInversion', step: 1 },
    }),
  },
];

/** After the keys of every page, for the foot cuts the rest. */
export const adjustingKeys: readonly KeyRow[] = [
  {
    id: 'move',
    strokes: ['left', 'right'],
    isPair: true,
    brief: 'move',
    short: 'move key, voices or bass',
    help: 'move by a semitone what k, v or b has chosen; step through what t or i has; turn the level that + has',
    pages: ['stage'],
    act: move,
  },
  {
    id: 'key',
    strokes: ['k'],
    brief: 'key',
    short: 'arrows move the key',
    help: 'the arrows move the key; again: it is heard from what you play; again: no key',
    pages: ['stage'],
    act: takeKey,
  },
  {
    id: 'voices',
    strokes: ['v'],
    brief: 'voices',
    short: 'arrows move the voices',
    help: 'the arrows move the register of the voices; again: its lowest, its highest note',
    pages: ['stage'],
    act: () => viewAction({ type: 'takeRegister', register: 'upper' }),
  },
  {
    id: 'bass',
    strokes: ['b'],
    brief: 'bass',
    short: 'arrows move the bass',
    help: 'the arrows move the register of the bass; again: its lowest, its highest note',
    pages: ['stage'],
    act: () => viewAction({ type: 'takeRegister', register: 'bass' }),
  },
  {
    id: 'own-registers',
    strokes: ['x'],
    brief: 'own registers',
    short: "the preset's registers",
    help: 'both registers back to where the preset has them',
    pages: ['stage'],
    act: () => ({ type: 'restoreRegisters' }),
  },
  {
    id: 'mode',
    strokes: ['m'],
    brief: 'major/minor',
    short: 'key: major or minor',
    help: 'change the key between major and minor',
    pages: ['stage'],
    act: () => ({ type: 'toggleMajorMinor' }),
  },
  {
    id: 'no-key',
    // By k; a key of its own for whoever moves one here.
    strokes: [],
    brief: 'no key',
    short: 'play with no key',
    help: 'play with no key',
    pages: ['stage'],
    act: () => ({ type: 'clearKey' }),
  },
  {
    id: 'follow-key',
    strokes: [],
    brief: 'follow key',
    short: 'hear the key as you play',
    help: 'hear the key from what is played',
    pages: ['stage'],
    act: () => ({ type: 'followKey' }),
  },
  {
    id: 'switching',
    // A row of the set-up page; a key of its own for whoever moves one here.
    strokes: [],
    brief: 'at once',
    short: 'presets: now or next chord',
    help: 'a new preset takes hold at once, or at the next chord',
    pages: ['stage'],
    act: () => ({ type: 'toggleSwitching' }),
  },
  {
    id: 'sound',
    strokes: ['s'],
    brief: 'sound',
    short: 'built-in sound on, off',
    help: 'the built-in sound on or off',
    pages: ['stage', 'chords'],
    act: () => ({ type: 'toggleSound' }),
  },
  {
    id: 'level',
    strokes: ['+'],
    brief: 'level',
    short: 'arrows turn the level',
    help: 'the arrows turn the level of the built-in sound down and up',
    pages: ['stage'],
    act: () => viewAction({ type: 'take', what: 'level' }),
  },
];
