/**
 * Listening: keys sound as they are played and nothing is revoiced, while what they hold is named. Each
 * chord is noted in the log as it was played, in the key that holds and after the chord before, and
 * the tune on the stage goes on with it. Times are microseconds.
 */
import { type Chord, chordOf } from '../../harmony/chord/chord.ts';
import { setOfNotes } from '../../harmony/pitch/pitch-class-set.ts';
import { recogniseSet } from '../../harmony/recognition/recognise.ts';
import type { Message } from '../../midi/message.ts';
import { percussionChannel } from '../../midi/specification.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import { notesOf } from '../hands/parts.ts';
import type { Log } from '../log.ts';
import { overrideFor } from '../reading-overrides.ts';
import { statedBy, statedOrWritten } from '../stated-chord.ts';
import type { TuneOnStage } from '../tune/tune-on-stage.ts';
import type { Voicer } from '../voicing/voicer-api.ts';
import { createGrips, type Grip } from './grips.ts';
import type { PlayedChord } from './played-report.ts';

export type Listening = {
  readonly isOn: () => boolean;
  readonly turn: (isOn: boolean) => void;
  /** Called while it is on, of every key that sounds as played. */
  readonly press: (key: HeldKey) => void;
  readonly release: (key: HeldKey, at: number) => void;
  readonly notePedal: (channel: number, isDown: boolean) => void;
  readonly deadline: () => number | undefined;
  readonly advance: (at: number, out: Message[]) => void;
  /** Something of the last chord sounds. */
  readonly isSounding: () => boolean;
  readonly forget: () => void;
};

export type Listened = {
  readonly voicer: () => Voicer;
  readonly log: Log;
  readonly tune: TuneOnStage;
};

/** The chords before, among which one is told: in a row of them more is known than of one. */
const mostBefore = 11;

/** Every set of notes has a reading. */
function quickly(notes: readonly number[]): Chord {
  const bass = Math.min(...notes) % 12;
  const reading = recogniseSet(setOfNotes(notes), bass, {});
  if (reading === undefined) throw new Error('notes without a reading: the table names every set');
  return chordOf(reading, bass);
}

export function createListening({ voicer, log, tune }: Listened): Listening {
  let isOn = false;
  let row: readonly PlayedChord[] = [];
  let sent: Message[] = [];

  const note = ({ at, keys, isCorrection }: Grip): void => {
    const notes = notesOf(keys);
    const written = statedOrWritten(statedBy(keys), tune.hear(notes, at, isCorrection, sent));
    // The tune may have turned to another preset.
    const here = voicer();
    const { key, setup } = here;
    const chord = written ?? here.read(notes, { isCorrection }) ?? quickly(notes);
    here.hear(chord, isCorrection);
    const { overrides = [] } = setup;
    const isTold = written !== undefined || overrideFor(notes, overrides) !== undefined;
    const before = isCorrection ? row.slice(0, -1) : row;
    row = [...before.slice(-mostBefore), { notes, chord, isTold }];
    const place = tune.noted();
    log.note(
      {
        atMicroseconds: at,
        heard: notes,
        voiced: undefined,
        played: row,
        velocities: keys.map(({ velocity }) => velocity),
        key,
        preset: setup.preset.id,
        ...(place !== undefined && { place }),
      },
      isCorrection,
    );
  };

  const grips = createGrips(note, log.ended);

  return {
    isOn: () => isOn,
    turn(next) {
      isOn = next;
      row = [];
      grips.forget();
    },
    press(key) {
      if (key.playedOn !== percussionChannel) grips.press(key);
    },
    release: grips.release,
    notePedal: grips.notePedal,
    deadline: grips.deadline,
    advance(at, out) {
      sent = out;
      grips.advance(at);
    },
    isSounding: grips.isSounding,
    forget: grips.forget,
  };
}
