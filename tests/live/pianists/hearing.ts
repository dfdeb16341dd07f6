/**
 * A trial is played to the engine, and all that came of it is kept: what was sent and when, what
 * rings of it, and which chords the stage was told of.
 */
import { formatKey } from '../../../src/harmony/key/key.ts';
import { createEngine } from '../../../src/live/engine.ts';
import type { ChordReport } from '../../../src/live/snapshot.ts';
import type { Message } from '../../../src/midi/message.ts';
import { type Receiver, receive, type Sent } from './receiver.ts';
import type { Stage, Stroke } from './stage.ts';

export type Shown = { readonly at: number; readonly report: ChordReport };

export type Played = { readonly at: number; readonly source: number; readonly message: Message };

export type Heard = Receiver & {
  readonly sent: readonly Sent[];
  readonly played: readonly Played[];
  readonly shown: readonly Shown[];
  /** The last chord the stage was told of by then. */
  readonly shownAt: (at: number) => ChordReport | undefined;
};

/** A finger needs this long to leave a key and strike it again. Common practice, no source. */
const repeatGap = 25_000;
const shortestStroke = 12_000;

/** A key that is struck again must come up before. */
export function liftBeforeRepeats(strokes: readonly Stroke[]): void {
  const last = new Map<number, Stroke>();
  for (const stroke of [...strokes].sort((one, other) => one.at - other.at)) {
    const slot = (stroke.source * 16 + stroke.channel) * 128 + stroke.note;
    const before = last.get(slot);
    if (before !== undefined && before.until > stroke.at - repeatGap) {
      before.until = Math.max(before.at + shortestStroke, stroke.at - repeatGap);
      if (before.until >= stroke.at) throw new Error('a key is struck while it is down');
    }
    last.set(slot, stroke);
  }
}

export function playedOf({ strokes, pedals }: Stage): Played[] {
  const played = strokes.flatMap(({ at, until, note, velocity, channel, source }): Played[] => [
    { at, source, message: { type: 'noteOn', channel, note, velocity } },
    { at: until, source, message: { type: 'noteOff', channel, note, velocity: 64 } },
  ]);
  for (const { at, value, channel } of pedals) {
    played.push({
      at,
      source: 0,
      message: { type: 'controlChange', channel, controller: 64, value },
    });
  }
  return played.sort((one, other) => one.at - other.at);
}

/** Far more than any trial needs. */
const mostAdvances = 10_000;

export function perform(stage: Stage): Heard {
  const setup = {
    preset: stage.preset,
    ...(stage.key !== undefined && { key: formatKey(stage.key) }),
  };
  const engine = createEngine(setup);
  const sent: Sent[] = [];
  const shown: Shown[] = [];
  const add = (at: number, messages: readonly Message[]): void => {
    for (const message of messages) sent.push({ at, message });
    for (const report of engine.takeReports()) shown.push({ at, report });
  };
  let advances = 0;
  const pass = (until: number): void => {
    for (let due = engine.deadline(); due !== undefined && due <= until; due = engine.deadline()) {
      add(due, engine.advance(due));
      advances += 1;
      if (advances > mostAdvances) throw new Error(`the engine asks for ${due} without end`);
    }
  };
  const played = playedOf(stage);
  for (const { at, source, message } of played) {
    // What is due as the next key falls is sent first, as a shell would.
    pass(at);
    add(at, engine.receive(message, at, source));
  }
  pass(Number.MAX_SAFE_INTEGER);
  return {
    ...receive(sent),
    sent,
    played,
    shown,
    shownAt: (at) => shown.findLast((each) => each.at <= at)?.report,
  };
}
