/**
 * The commands there are. Each module is imported only when its command runs, so that `handspan
 * ports` never waits for the screen, and so that NODE_ENV is set before React is ever imported.
 */
import type { Command } from './command.ts';

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
    load: async () => (await import('./play.ts')).play,
  },
  {
    name: 'presets',
    summary: 'List the presets; check one; show one; say where your own live',
    load: async () => (await import('./presets.ts')).presets,
  },
  {
    name: 'ports',
    summary: 'List the MIDI inputs and outputs of this machine',
    load: async () => (await import('./ports.ts')).ports,
  },
];
