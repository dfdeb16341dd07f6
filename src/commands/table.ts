/**
 * The commands there are. Each module is imported only when its command runs, so that `handspan
 * ports` never waits for the screen, and so that NODE_ENV is set before React is ever imported.
 */

import type { Command } from '../cli/command.ts';
import { startThreadAhead } from '../io/engine/engine-thread.ts';

type Row = {
  readonly name: string;
  /** For the overview: one line, without a full stop. */
  readonly summary: string;
  readonly load: () => Promise<Command>;
};

export const commandTable: readonly Row[] = [
  {
    name: 'play',
    summary: 'Play: chords in, voicings out (also what plain `handspan` does)',
    load: async () => {
      startThreadAhead();
      return (await import('./play/play.ts')).play;
    },
  },
  {
    name: 'chart',
    summary: 'Voice a chord chart on the best path: text, JSON or a MIDI file',
    load: async () => (await import('./chart/chart.ts')).chart,
  },
  {
    name: 'takes',
    summary: 'List what was recorded; show, export, remove; keep the last minutes',
    load: async () => (await import('./takes/takes.ts')).takes,
  },
  {
    name: 'revoice',
    summary: 'Voice the chords of a MIDI file, and keep everything else as it was',
    load: async () => (await import('./revoice/revoice.ts')).revoice,
  },
  {
    name: 'analyse',
    summary: 'Tell how the chords of a passage are built, and what they have in common',
    load: async () => (await import('./analyse/analyse.ts')).analyse,
  },
  {
    name: 'name',
    summary: 'Name the chord of some notes, or explain a chord symbol',
    load: async () => (await import('./name/name.ts')).name,
  },
  {
    name: 'presets',
    summary: 'List the presets; check one; show one; say where your own live',
    load: async () => (await import('./presets.ts')).presets,
  },
  {
    name: 'setlists',
    summary: 'List setlists; show, set or remove one',
    load: async () => (await import('./setlists.ts')).setlists,
  },
  {
    name: 'ports',
    summary: 'List the MIDI inputs and outputs of this machine',
    load: async () => (await import('./ports.ts')).ports,
  },
  {
    name: 'doctor',
    summary: 'Check everything Handspan stands on, with what to do about each fault',
    load: async () => (await import('./doctor.ts')).doctor,
  },
  {
    name: 'completions',
    summary: 'Print completions for bash, zsh or fish',
    load: async () => (await import('./completions/completions.ts')).completionsFor(commandTable),
  },
];
