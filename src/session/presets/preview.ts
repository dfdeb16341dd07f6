/**
 * What a preset would make of the last chord: the last two chords played through an engine of its
 * own, on this thread, without a port or a clock, so that the second is led from the first.
 */

import { createEngine } from '../../live/engine.ts';
import type { Setup } from '../../live/engine-api.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import { defaultReleaseVelocity } from '../../midi/specification.ts';

const oneSecond = 1_000_000;
const velocity = 80;

/** The symbol that the notes of a chord were written with, which is believed when they sound again. */
export function statedIn({ heard }: ChordReport): string | undefined {
  return heard.isStated === true || heard.isWritten === true ? heard.symbol : undefined;
}

/** Undefined when there is no chord or the preset leaves it as played without a name. */
export function previewChord(
  setup: Setup,
  chords: readonly ChordReport[],
): ChordReport | undefined {
  const last = chords.slice(-2);
  if (last.length === 0) return undefined;
  const engine = createEngine(setup);
  let at = 0;
  for (const report of last) {
    const notes = report.heard.notes.map((each) => each.note);
    const keys = notes.map((note) => ({ type: 'noteOn', channel: 0, note, velocity }) as const);
    const symbol = statedIn(report);
    if (symbol === undefined) for (const key of keys) engine.receive(key, at);
    else engine.playSymbol(symbol, keys, at);
    engine.advance(at + oneSecond / 2);
    at += oneSecond;
    for (const note of notes) {
      engine.receive({ type: 'noteOff', channel: 0, note, velocity: defaultReleaseVelocity }, at);
    }
  }
  return engine.takeReports().at(-1);
}

export type Previewer = (setup: Setup, chords: readonly ChordReport[]) => ChordReport | undefined;

/** Asked on every drawing, so each answer is kept until chord, key or preset is another. */
export function createPreviewer(): Previewer {
  const known = new Map<
    string,
    { readonly setup: Setup; readonly report: ChordReport | undefined }
  >();
  let basis = '';
  return (setup, chords) => {
    const now = `${setup.key ?? ''} ${JSON.stringify(setup.moved ?? {})} ${chords
      .slice(-2)
      .map((chord) => [statedIn(chord), ...chord.heard.notes.map((each) => each.note)].join('.'))
      .join(' ')}`;
    if (now !== basis) known.clear();
    basis = now;
    const kept = known.get(setup.preset.id);
    if (kept !== undefined && kept.setup.preset === setup.preset) return kept.report;
    const report = previewChord(setup, chords);
    known.set(setup.preset.id, { setup, report });
    return report;
  };
}
