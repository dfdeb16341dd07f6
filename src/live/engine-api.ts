/**
 * The engine as its shells see it: messages and times in, messages out. No clock, no timer, no IO:
 * live play, rehearsal, files, tests and the bench drive the same state machine.
 * Times are microseconds from any fixed origin and never run backwards.
 */
import type { Message, NoteMessage } from '../midi/message.ts';
import type { Metre } from '../midi/metre.ts';
import type { OwnRegisters } from '../presets/own-registers.ts';
import type { Preset, Register } from '../presets/preset.ts';
import type { StageTune } from '../tune/tune.ts';
import type { KeptScope } from '../voicing/kept.ts';
import type { ChoiceStep } from './choosing/choice-step.ts';
import type { Controls } from './controllers/controls.ts';
import type { ToldZone } from './controllers/zones.ts';
import type { ReadingOverride } from './reading-overrides.ts';
import type { ChordReport, Snapshot } from './snapshot.ts';

export type Setup = {
  readonly preset: Preset;
  /**
   * 'A', 'F#m', 'A major', 'F# minor', or 'follow' for the key as it is heard; absent: no key. Already
   * checked by harmony/key.ts.
   */
  readonly key?: string;
  /** By which bars are counted with a MIDI clock, which knows none; absent: 4/4. */
  readonly metre?: Metre;
  /** Replaces the preset's register for the upper voices. */
  readonly upper?: Register;
  /** Replaces the preset's register for the bass. */
  readonly bass?: Register;
  /** Registers moved before, by the id of their preset: they come back with it. */
  readonly moved?: { readonly [presetId: string]: OwnRegisters };
  /** What controls step through and choose from, in order. */
  readonly presets?: readonly Preset[];
  /**
   * The place in `presets` that each number stands for which a program change, a control or a key
   * gives, so that a number keeps its meaning however presets are listed; absent: they count as they
   * stand.
   */
  readonly numbered?: readonly number[];
  /**
   * Where `preset` stands in `presets`, 0 for the first, since it may stand there more than once;
   * absent, or another preset's: the nearest place from the present one on.
   */
  readonly place?: number;
  readonly controls?: Controls;
  /** Readings the player has asked for; absent: none. */
  readonly overrides?: readonly ReadingOverride[];
  /** When another preset takes hold; absent: at the next chord. */
  readonly switching?: 'next-chord' | 'at-once';
  /** Which voices are struck when another voicing of the chord that sounds is chosen. */
  readonly choosing?: { readonly strikes?: 'changed' | 'all' };
  /** The MPE zone of the keyboards; absent: as each configures it itself. */
  readonly mpeZone?: ToldZone;
};

export type Engine = {
  /**
   * One message from the player. Returns what to send now, in order. Never throws on any message.
   * `source` tells inputs apart (0–15, default 0), so that two keyboards may hold the same note.
   */
  readonly receive: (
    message: Message,
    atMicroseconds: number,
    source?: number,
  ) => readonly Message[];
  /**
   * Keys that go down together and the symbol that says what chord they are, where that is known
   * ('Fm6', whose notes are those of Dm7(b5)/F): it is believed like a symbol in a chart. They come up
   * by `receive`. A text that is no symbol leaves them to be heard.
   */
  readonly playSymbol: (
    symbol: string,
    keys: readonly NoteMessage[],
    atMicroseconds: number,
    source?: number,
  ) => readonly Message[];
  /** Time has come: call it at `deadline` or later. Returns what to send now. */
  readonly advance: (atMicroseconds: number) => readonly Message[];
  /**
   * For the pauses: makes what the next one of the likeliest chords will be chosen from, before it
   * is played, then a piece of what the player may turn to from the last one. Nothing is heard or
   * sent. False when nothing is left to make.
   */
  readonly prepare: () => boolean;
  /** When `advance` is next wanted, or undefined. */
  readonly deadline: () => number | undefined;
  /**
   * New preset, key, registers or controls. What sounds goes on until the next chord, or is voiced
   * anew with the fewest changes when `switching` is 'at-once'.
   */
  readonly change: (setup: Setup, atMicroseconds: number) => readonly Message[];
  /**
   * The player turns to another voicing of the chord that sounds, or sounded last: then it is heard
   * when that chord is played next. Behind keys that wait to be read. Where there is nothing else a
   * sentence in the snapshot says so.
   */
  readonly choose: (step: ChoiceStep, atMicroseconds: number) => readonly Message[];
  /** The voicing of the last chord is to be kept: a report with `kept` says what, for whoever keeps it. */
  readonly keep: (scope: KeptScope, atMicroseconds: number) => readonly Message[];
  /** Latches, or no longer: what sounds stays until the next chord, in whatever preset. */
  readonly latch: (atMicroseconds: number) => readonly Message[];
  /**
   * Keys sound as they are played and what they hold is named, or chords are voiced again. A chord that
   * sounds goes on while its keys are down, and so does a key that sounds as played.
   */
  readonly listen: (isOn: boolean, atMicroseconds: number) => readonly Message[];
  /** The next grip is taken as a shape, in the snapshot; asked again before it is played, no longer. */
  readonly takeShape: (atMicroseconds: number) => readonly Message[];
  /**
   * The tune that is played from now on, from its beginning; undefined: none. What sounds goes on. A
   * chord is read as the tune writes it where the two agree and the place is sure.
   */
  readonly follow: (stage: StageTune | undefined, atMicroseconds: number) => readonly Message[];
  /** Any key plays the tune's next chord, or no longer does. Without a tune keys are themselves. */
  readonly oneKey: (isOn: boolean, atMicroseconds: number) => readonly Message[];
  /** The next chord is expected at this one of the tune's; without a tune nothing happens. */
  readonly setPlace: (chord: number, atMicroseconds: number) => readonly Message[];
  /** Every sounding note off: the only thing to send before a port closes. */
  readonly letGo: (atMicroseconds: number) => readonly Message[];
  /** Notes off as `letGo`, then All Notes Off (CC 123) and sustain off (CC 64) on the channels in use. */
  readonly panic: (atMicroseconds: number) => readonly Message[];
  /** Chords reported since the last call, oldest first. */
  readonly takeReports: () => readonly ChordReport[];
  /** The present state as text and numbers for a view; off the hot path. */
  readonly snapshot: () => Snapshot;
};
