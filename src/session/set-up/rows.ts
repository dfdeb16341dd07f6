/**
 * The rows of the set-up page, as a table: what each shows and what it does when it is stepped,
 * typed, cleared or learned. What is chosen here is remembered.
 */

import { isAbsolute } from 'node:path';
import { given } from '../../common/given.ts';
import { parseKey } from '../../harmony/key/key.ts';
import { type Settings, themes } from '../../io/files/settings.ts';
import { toldZones } from '../../live/controllers/zones.ts';
import { commonTime, formatMetre, metreForms, parseMetre } from '../../midi/metre.ts';
import { percussionChannel } from '../../midi/specification.ts';
import { formatNoteName, parseNoteName } from '../../presets/note-name.ts';
import {
  channelHands,
  channelLayouts,
  noteExpressions,
  partTellings,
  plainPlaying,
} from '../../presets/playing.ts';
import { formatRegister } from '../../presets/register.ts';
import { movedKey } from '../key-steps.ts';
import { defaultsProblem } from '../presets/preset-defaults.ts';
import type { PlaySession } from '../session.ts';
import { controlRows } from './control-rows.ts';
import { capital, patch, type SetUpRow } from './row.ts';

// --- zones and channels -------------------------------------------------------------------------

function channelsText(channels: readonly number[] | undefined): string {
  return channels === undefined ? 'all' : channels.map((each) => each + 1).join(', ');
}

/** '1, 3' → [0, 2]; undefined for anything that is no list of channels 1–16. */
function parseChannels(text: string): readonly number[] | undefined {
  const numbers = text
    .split(/[\s,]+/)
    .filter(Boolean)
    .map(Number);
  const areRight = numbers.every((each) => Number.isInteger(each) && each >= 1 && each <= 16);
  return areRight && numbers.length > 0 ? [...new Set(numbers)].map((each) => each - 1) : undefined;
}

const layoutWords = {
  one: "the player's own, for all voices",
  'bass-apart': 'the bass on one of its own',
  'per-voice': 'one for each voice',
} as const;

/** Refused with the reason when it would clash with controls or leave no chord. */
function patchDefaults<N extends 'zone' | 'zoneChannels'>(
  session: PlaySession,
  name: N,
  value: Settings[N],
): string {
  const problem = defaultsProblem({ ...session.memory, ...given(name, value) }, session.presets);
  return problem === '' ? patch(session, name, value) : capital(problem);
}

const zoneRows: readonly SetUpRow[] = [
  {
    id: 'zone',
    group: 'zones and channels',
    label: 'keys that play chords',
    help: 'Keys outside pass through as played. Holds for every preset that names no zone of its own. Return, then play the lowest and the highest key, or t and type them, such as C2-B3.',
    entry: 'learn',
    learns: 'range',
    value: ({ memory }) => (memory.zone === undefined ? 'all' : formatRegister(memory.zone)),
    learned: (session, register) => patchDefaults(session, 'zone', register),
    clear: (session) => patch(session, 'zone', undefined),
  },
  {
    id: 'zoneChannels',
    group: 'zones and channels',
    label: 'channels that play chords',
    help: "Channels 1 to 16, such as '1, 3'; the others pass through.",
    entry: 'text',
    value: ({ memory }) => channelsText(memory.zoneChannels),
    step: (session, step) => {
      // All, then each channel by itself, but for that of percussion, which plays no chords.
      const choices = Array.from({ length: 17 }, (_, at) => at - 1).filter(
        (channel) => channel !== percussionChannel,
      );
      const now = choices.indexOf(session.memory.zoneChannels?.[0] ?? -1);
      const next = choices.at((now + step) % choices.length) ?? -1;
      return patch(session, 'zoneChannels', next < 0 ? undefined : [next]);
    },
    type: (session, text) => {
      if (text.toLowerCase() === 'all') return patch(session, 'zoneChannels', undefined);
      const channels = parseChannels(text);
      if (channels === undefined) {
        return `'${text}' is no list of channels; write 'all' or numbers from 1 to 16.`;
      }
      return patchDefaults(session, 'zoneChannels', channels);
    },
    clear: (session) => patch(session, 'zoneChannels', undefined),
  },
  {
    id: 'layout',
    group: 'zones and channels',
    label: 'output channels',
    help: 'So that a DAW records the bass, or every voice, on a track of its own.',
    entry: 'none',
    value: ({ memory }) => layoutWords[memory.layout ?? 'one'],
    step: (session, step) => {
      const place = channelLayouts.indexOf(session.memory.layout ?? 'one') + step;
      return patch(session, 'layout', channelLayouts.at(place % channelLayouts.length));
    },
    clear: (session) => patch(session, 'layout', undefined),
  },
  {
    id: 'firstChannel',
    group: 'zones and channels',
    label: 'first output channel',
    help: 'The channel of the bass, or of the lowest voice; the others follow upwards.',
    entry: 'none',
    value: ({ memory }) => `${(memory.firstChannel ?? 0) + 1}`,
    step: (session, step) =>
      patch(session, 'firstChannel', ((session.memory.firstChannel ?? 0) + step + 16) % 16),
    clear: (session) => patch(session, 'firstChannel', undefined),
  },
];

const partWords = {
  'by-playing': 'told from the chord by how they are played',
  'by-split': 'above the split point, the chord below',
  off: 'not told apart: keys struck together are a chord',
} as const;

const handRows: readonly SetUpRow[] = [
  {
    id: 'parts',
    group: 'melody and bass',
    label: 'melody and bass',
    help: 'What is no part of the chord sounds as played. Holds for every preset that says nothing of its own.',
    entry: 'none',
    value: ({ memory }) => partWords[memory.parts ?? 'by-playing'],
    step: (session, step) => {
      const place = partTellings.indexOf(session.memory.parts ?? 'by-playing') + step;
      return patch(session, 'parts', partTellings.at(place % partTellings.length));
    },
    clear: (session) => patch(session, 'parts', undefined),
  },
  {
    id: 'split',
    group: 'melody and bass',
    label: 'split point',
    help: 'The lowest melody note, such as C4; it tells melody from chord where the line above says so.',
    entry: 'text',
    value: ({ memory }) => formatNoteName(memory.split ?? plainPlaying.hands.split),
    step: (session, step) => {
      const note = (session.memory.split ?? plainPlaying.hands.split) + step;
      if (note < 0 || note > 127) return 'The keyboard ends there.';
      return patch(session, 'split', note);
    },
    type: (session, text) => {
      const note = parseNoteName(text);
      if (note === undefined) return `'${text}' is no note; give one such as C4.`;
      return patch(session, 'split', note);
    },
    clear: (session) => patch(session, 'split', undefined),
  },
  {
    id: 'channelHands',
    group: 'melody and bass',
    label: 'keys of several channels',
    help: 'Each channel by itself, or all channels one player, as keyboards with a channel for each note need it.',
    entry: 'none',
    value: ({ memory }) =>
      (memory.channelHands ?? 'apart') === 'apart' ? 'each channel by itself' : 'one player',
    step: (session, step) => {
      const place = channelHands.indexOf(session.memory.channelHands ?? 'apart') + step;
      return patch(session, 'channelHands', channelHands.at(place % channelHands.length));
    },
    clear: (session) => patch(session, 'channelHands', undefined),
  },
];

const expressionWords = {
  top: "the top voice, by the top key's",
  all: "all voices, by the strongest of the hand's",
  none: 'no voice of a chord',
} as const;

/** What an MPE keyboard is: the words of the published specification. */
const zoneWords = {
  keyboard: 'as the keyboard configures it',
  lower: 'lower: manager channel 1, notes on 2 to 16',
  upper: 'upper: manager channel 16, notes on 15 to 1',
  none: 'none: each channel is as the line above says',
} as const;

const mpeRows: readonly SetUpRow[] = [
  {
    id: 'mpeZone',
    group: 'melody and bass',
    label: 'MPE zone',
    help: 'The notes of a zone are one hand, though each has a channel of its own. Choose lower or upper for an MPE keyboard that does not configure its zone by itself.',
    entry: 'none',
    value: ({ memory }) => zoneWords[memory.mpeZone ?? 'keyboard'],
    step: (session, step) => {
      const choices = [undefined, ...toldZones];
      const place = choices.indexOf(session.memory.mpeZone) + step;
      return patch(session, 'mpeZone', choices.at(place % choices.length));
    },
    clear: (session) => patch(session, 'mpeZone', undefined),
  },
  {
    id: 'noteExpression',
    group: 'melody and bass',
    label: 'bend and pressure in a zone',
    help: 'What bend, pressure and timbre of single keys of a chord act on. Holds for every preset that says nothing of its own; a melody note keeps its own.',
    entry: 'none',
    value: ({ memory }) => expressionWords[memory.noteExpression ?? plainPlaying.noteExpression],
    step: (session, step) => {
      const now = session.memory.noteExpression ?? plainPlaying.noteExpression;
      const place = noteExpressions.indexOf(now) + step;
      return patch(session, 'noteExpression', noteExpressions.at(place % noteExpressions.length));
    },
    clear: (session) => patch(session, 'noteExpression', undefined),
  },
];

// --- key, registers, screen ---------------------------------------------------------------------

function registerRow(which: 'upper' | 'bass', label: string): SetUpRow {
  return {
    id: which,
    group: 'key, metre and registers',
    label,
    help: 'Return, then play its lowest and its highest note, or t and type them, such as C3-D5; arrows move it. Moved, it belongs to the preset that plays; x gives the preset its own back.',
    entry: 'learn',
    learns: 'range',
    value: ({ setup }) => {
      const own = setup[which];
      return own === undefined
        ? `${formatRegister(setup.preset[which])} (the preset's)`
        : formatRegister(own);
    },
    step: (session, step) => {
      const { lowest, highest } = session.setup[which] ?? session.setup.preset[which];
      const moved = { lowest: lowest + step, highest: highest + step };
      if (moved.lowest < 0 || moved.highest > 127) return 'The register ends there.';
      return session.setRegister(which, moved);
    },
    learned: (session, register) => session.setRegister(which, register),
    clear: (session) => session.setRegister(which, undefined),
  };
}

const usualMetres = ['2/4', '3/4', '4/4', '5/4', '6/8', '7/8', '9/8', '12/8'];

const keyRows: readonly SetUpRow[] = [
  {
    id: 'key',
    group: 'key, metre and registers',
    label: 'key',
    help: "Such as Eb, F#m or 'C minor'; 'none' for no key, 'follow' to hear it from what is played.",
    entry: 'text',
    value: ({ setup }) => setup.key ?? 'none',
    step: (session, step) => {
      session.setKey(movedKey(session.key, step));
      return '';
    },
    type: (session, text) => {
      const word = text.toLowerCase();
      if (word === 'none') session.setKey(undefined);
      else if (word === 'follow') session.followKey();
      else {
        const key = parseKey(text);
        if (!key.ok) return `${key.problem}.`;
        session.setKey(key.value);
      }
      return '';
    },
    clear: (session) => {
      session.setKey(undefined);
      return '';
    },
  },
  {
    id: 'metre',
    group: 'key, metre and registers',
    label: 'metre',
    help: 'Beats in a bar, such as 3/4 or 6/8: by it bars are counted with a MIDI clock, and takes are written.',
    entry: 'text',
    value: ({ memory }) => memory.metre ?? formatMetre(commonTime),
    step: (session, step) => {
      const place = usualMetres.indexOf(session.memory.metre ?? formatMetre(commonTime)) + step;
      return patch(session, 'metre', usualMetres.at(place % usualMetres.length));
    },
    type: (session, text) => {
      const metre = parseMetre(text);
      if (metre === undefined) return `'${text}' is no metre; give ${metreForms}.`;
      return patch(session, 'metre', formatMetre(metre));
    },
    clear: (session) => patch(session, 'metre', undefined),
  },
  registerRow('upper', 'voices, register'),
  registerRow('bass', 'bass, register'),
];

const themeWords = {
  dark: 'for a dark background',
  light: 'for a light background',
  contrast: 'high contrast, no colour',
} as const;

const chartRows: readonly SetUpRow[] = [
  {
    id: 'chartFolder',
    group: 'charts',
    label: 'folder of charts',
    help: 'The path of the folder that the charts page lists; x gives your own back.',
    entry: 'text',
    value: ({ charts, memory }) => memory.chartFolder ?? charts?.folder ?? '',
    type: (session, text) => {
      if (text === '') return patch(session, 'chartFolder', undefined);
      if (!isAbsolute(text)) return `'${text}' is no whole path of a folder.`;
      patch(session, 'chartFolder', text);
      return session.charts?.look() ?? '';
    },
    clear: (session) => patch(session, 'chartFolder', undefined),
  },
];

const screenRows: readonly SetUpRow[] = [
  {
    id: 'theme',
    group: 'screen',
    label: 'looks',
    help: 'Colour only repeats what a word or sign says. NO_COLOR in the environment leaves it out.',
    entry: 'none',
    value: ({ memory }) => themeWords[memory.theme ?? 'dark'],
    step: (session, step) => {
      const place = themes.indexOf(session.memory.theme ?? 'dark') + step;
      return patch(session, 'theme', themes.at(place % themes.length));
    },
    clear: (session) => patch(session, 'theme', undefined),
  },
];

/** All but the ports and the keys of the screen, which are as many as there are. */
export const setUpRows: readonly SetUpRow[] = [
  ...keyRows,
  ...controlRows,
  ...handRows,
  ...mpeRows,
  ...zoneRows,
  ...chartRows,
  ...screenRows,
];
