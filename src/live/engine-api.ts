/**
 * The engine as its shells see it: messages and times in, messages out. No clock, no timer, no IO:
 * live play, rehearsal, files, tests and the bench drive the same state machine.
 * Times are microseconds from any fixed origin and never run backwards.
 */
import type { Message } from '../midi/message.ts';
import type { Preset, Register } from '../presets/preset.ts';
import type { ChordReport, Snapshot } from './snapshot.ts';

export type Setup = {
  readonly preset: Preset;
  /** 'A', 'F#m', 'A major', 'F# minor'; absent: no key. Already checked by harmony/key.ts. */
  readonly key?: string;
  /** Replaces the preset's register for the upper voices. */
  readonly upper?: Register;
  /** Replaces the preset's register for the bass. */
  readonly bass?: Register;
  /**
   * Presets that program changes choose from: program 0 on the wire is the first. Such a program
   * change is obeyed and goes no further; others pass. Absent: every program change passes.
   */
  readonly programs?: readonly Preset[];
};

export type Engine = {
  /** One message from the player. Returns what to send now, in order. Never throws on any message. */
  readonly receive: (message: Message, atMicroseconds: number) => readonly Message[];
  /** Time has come: call it at `deadline` or later. Returns what to send now. */
  readonly advance: (atMicroseconds: number) => readonly Message[];
  /** When `advance` is next wanted, or undefined. */
  readonly deadline: () => number | undefined;
  /** New preset, key or registers; used from the next chord on. What sounds goes on sounding. */
  readonly change: (setup: Setup, atMicroseconds: number) => readonly Message[];
  /** Every sounding note off: the only thing to send before a port closes. */
  readonly letGo: (atMicroseconds: number) => readonly Message[];
  /** Notes off as `letGo`, then All Notes Off (CC 123) and sustain off (CC 64) on the channels in use. */
  readonly panic: (atMicroseconds: number) => readonly Message[];
  /** Chords reported since the last call, oldest first. */
  readonly takeReports: () => readonly ChordReport[];
  /** The present state as text and numbers for a view; off the hot path. */
  readonly snapshot: () => Snapshot;
};
