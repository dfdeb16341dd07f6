/**
 * Where everything that a session plays goes: its chords to the screen, all of it to the recorder
 * that keeps takes and, with `--record`, to the take that becomes a file. Times are the engine's, in
 * microseconds.
 */
import { done, type Result, refused } from '../common/result.ts';
import type { StageState, TakeEvent } from '../io/engine/stage-state.ts';
import type { TakeSpool } from '../io/takes/take-spool.ts';
import type { ChordReport } from '../live/snapshot.ts';
import type { Take } from '../take/take.ts';
import { addChord, notesOf } from './chord-row.ts';
import { clockMarksOf } from './clock-marks.ts';
import type { PlayRecorder } from './recording.ts';

const noRecorder = 'Nothing is recorded here: this session keeps no takes.';

/** Three hours of a chord a second; more would fill the memory of a day. */
const mostChords = 10_000;

export class SessionTape {
  readonly #chords: ChordReport[] = [];
  #recorder: PlayRecorder | undefined;
  #spool: TakeSpool | undefined;
  /** Of the last event, and of the mark. */
  #latestAt = Number.NEGATIVE_INFINITY;
  #markedAt: number | undefined;
  #isAuditioning = false;
  #auditioned: string | undefined;
  /** The chord of before sounds again after an audition: one report, and no chord of the player's. */
  #isGoingBack = false;

  /** The chords of the session, oldest first; of a very long one, the last some thousand. */
  get chords(): readonly ChordReport[] {
    return this.#chords;
  }

  /** How long the take has been recorded; undefined while none is. */
  get recordedSeconds(): number | undefined {
    return this.#recorder?.recordedSeconds();
  }

  /** In use from now on; other ports begin another recorder. `spool`: of `--record`. */
  use(recorder: PlayRecorder, spool?: TakeSpool): void {
    // Times of another engine begin anew.
    this.#markedAt = undefined;
    this.#latestAt = Number.NEGATIVE_INFINITY;
    this.#recorder = recorder;
    this.#spool = spool;
  }

  /** Begins a take or ends the one that is recorded; a sentence for the player. */
  toggle(): Result<string> {
    const said = this.#recorder?.toggle();
    return said === undefined ? refused(noRecorder) : done(said);
  }

  /** Makes a take of the last minutes; a sentence for the player. */
  keep(): Result<string> {
    return this.#recorder?.keep() ?? refused(noRecorder);
  }

  /** What was just played; of a take that is recorded, what is in it. Undefined: nothing is kept here. */
  recent(): Take | undefined {
    return this.#recorder?.recorder.recent();
  }

  /** What is played from now on is the stretch that is marked; a sentence for the player. */
  mark(): string {
    this.#markedAt = this.#latestAt + 1;
    return "Marked: 'learn NAME since mark' learns from what you play from now on.";
  }

  /** From when on the stretch is marked; undefined: none is. */
  get markedAt(): number | undefined {
    return this.#markedAt;
  }

  /** Since when all chords were listened to; undefined where the last one was voiced, or none came. */
  get listenedSince(): number | undefined {
    const voiced = this.#chords.findLastIndex(({ played }) => played === undefined);
    if (voiced === this.#chords.length - 1) return undefined;
    return (this.#chords[voiced]?.atMicroseconds ?? Number.NEGATIVE_INFINITY) + 1;
  }

  /** Another tune begins, or none: what was played before has no place in it. */
  leaveTune(): void {
    this.#chords.forEach(({ place: _, ...chord }, index) => {
      this.#chords[index] = chord;
    });
  }

  takeState(state: StageState): void {
    for (const mark of clockMarksOf(state)) {
      this.#recorder?.recorder.clock(mark);
      this.#spool?.clock(mark);
    }
  }

  /**
   * A chord in another preset for a while, the last one where no notes are given: nothing that was
   * played.
   */
  beginAudition(notes?: readonly number[]): void {
    this.#auditioned = notes?.join(' ');
    this.#isAuditioning = true;
  }

  endAudition(isVoicedAnew: boolean): void {
    this.#isAuditioning = false;
    this.#isGoingBack = isVoicedAnew;
  }

  takeReports(all: readonly ChordReport[]): void {
    // What is chosen while no key is down is no part of what was played, nor what is kept.
    const reports = all.filter(({ isUnheard, kept }) => isUnheard !== true && kept === undefined);
    for (const report of reports) if (!this.#isOfAudition(report)) addChord(this.#chords, report);
    // Now and then rather than each time: it moves all the others.
    const over = this.#chords.length - mostChords;
    if (over > mostChords / 10) this.#chords.splice(0, over);
    this.#recorder?.recorder.chords(reports);
    this.#spool?.chords(reports);
  }

  /** An audition has the notes of the last chord or its own; a chord the player adds meanwhile has others. */
  #isOfAudition(report: ChordReport): boolean {
    const isReturn = this.#isGoingBack;
    this.#isGoingBack = false;
    if (!(this.#isAuditioning || isReturn)) return false;
    return notesOf(report) === (this.#auditioned ?? notesOf(this.#chords.at(-1)));
  }

  takeEvents(events: readonly TakeEvent[]): void {
    this.#latestAt = events.at(-1)?.atMicroseconds ?? this.#latestAt;
    this.#recorder?.recorder.events(events);
    this.#spool?.events(events);
  }
}
