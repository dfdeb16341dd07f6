/** A rehearsal written down: orders in, one JSON line per change out, as through the worker. */
import { expect, test } from 'vitest';
import { createPlainOutput, obey } from '../../src/commands/play/plain-output.ts';
import { EngineSession } from '../../src/io/engine/engine-session.ts';
import { createEngine } from '../../src/live/engine.ts';
import { PlaySession } from '../../src/session/session.ts';
import { createFakeClock } from '../helpers/fake-clock.ts';
import { shippedPreset } from '../live/play.ts';

type Line = {
  readonly heard: { readonly symbol: string; readonly notes: readonly { midi: number }[] };
  readonly sent: { readonly symbol: string; readonly technique: string };
  readonly choice?: { readonly by: string; readonly index: number; readonly of: number };
  readonly isUnheard?: boolean;
};

function rehearse(preset: string) {
  const presets = [shippedPreset('fourths-over-root'), shippedPreset('drop-2-sevenths')];
  const first = presets.find(({ id }) => id === preset);
  if (first === undefined) throw new Error(preset);
  const setup = { preset: first, presets, key: 'C major' };
  const clock = createFakeClock();
  const engine = new EngineSession({ createEngine, setup, clock, send: () => {} });
  const session = new PlaySession(setup, presets, undefined);
  const texts = { out: '', err: '' };
  const into = (name: 'out' | 'err') => ({
    write: (text: string) => {
      texts[name] += text;
    },
  });
  const output = createPlainOutput({ stdout: into('out'), stderr: into('err') }, true);
  const state = () => ({ snapshot: engine.snapshot(), ports: [], notice: engine.notice });
  session.begin({
    firstState: state(),
    change: (next) => engine.change(next),
    choose: (step) => engine.choose(step),
    play: (bytes) => engine.receive('rehearsal', bytes, clock.now()),
    panic: () => engine.panic(),
    close: async () => {},
    soundTo: () => {},
    closeNow: () => {},
  });
  return (...orders: readonly string[]): { lines: Line[]; said: string[] } => {
    texts.out = '';
    texts.err = '';
    const said: string[] = [];
    for (const order of orders) {
      const answer = obey(order, session);
      if (answer !== '') said.push(answer);
      clock.advanceTo(clock.now() + 100_000);
      output.onReports(engine.takeReports());
      output.onState(state());
    }
    const lines = texts.out.split('\n').filter(Boolean);
    const told = texts.err.split('\n').filter(Boolean);
    return {
      lines: lines.map((line) => JSON.parse(line) as Line),
      said: [...said, ...told.map((line) => line.replace('handspan: ', ''))],
    };
  };
}

test('each change is a line with the place of the choice', () => {
  const order = rehearse('drop-2-sevenths');
  const { lines, said } = order('play Dm7', 'voicing next', 'bass next', 'technique previous');
  expect(said).toEqual([]);
  expect(lines.map(({ heard }) => heard.symbol)).toEqual(['Dm7', 'Dm7', 'Dm7', 'Dm7']);
  expect(lines[0]?.choice).toBeUndefined();
  expect(lines[1]?.choice).toMatchObject({ by: 'voicing', index: 2 });
  expect(lines[2]).toMatchObject({ choice: { by: 'bass', index: 2 } });
  expect(lines[2]?.sent.symbol).toMatch(/\/F$/);
  expect(lines[3]?.choice?.by).toBe('technique');
  expect(lines[3]?.sent.technique).not.toBe('drop-2');
});

test('a chord is played by its symbol or its notes, and let go; a choice then waits for it', () => {
  const order = rehearse('drop-2-sevenths');
  const { lines } = order(
    'play C4 E4 G4 A4',
    'let go',
    'lead higher',
    'play 60 64 67 69',
    'let go',
  );
  expect(lines.map(({ heard }) => heard.notes.map(({ midi }) => midi))).toEqual(
    Array.from({ length: 3 }, () => [60, 64, 67, 69]),
  );
  expect(lines.map(({ isUnheard = false }) => isUnheard)).toEqual([false, true, false]);
  expect(lines[2]?.sent).toEqual(lines[1]?.sent);
  const { lines: slash } = order('play G7/B');
  expect(slash[0]?.heard.symbol).toBe('G7/B');
});

test('where there is nothing else it is said, and orders that are none are told the right ones', () => {
  const order = rehearse('fourths-over-root');
  expect(order('play C', 'lead next', 'lead next', 'lead next', 'lead next').said.at(-1)).toBe(
    'There is no higher lead for C in this register; move the register, or turn back.',
  );
  expect(order('bass sideways').said).toEqual([
    "'bass sideways' is no order; say 'bass next' or 'bass previous'.",
  ]);
  expect(order('play C4 H4').said).toEqual([
    "'H4' is no note; give a name with its octave, such as Eb4, or a number from 0 to 127.",
  ]);
  expect(order('play').said).toEqual(["Say what to play: 'play Am7', or 'play C4 E4 G4'."]);
  expect(order('let').said).toEqual(["'let' alone is no order; say 'let go'."]);
});
