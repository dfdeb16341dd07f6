/** A rehearsal that obeys orders, in process, with a clock of its own and presets kept in a folder. */
import drop2 from '../../presets/drop-2-sevenths.json' with { type: 'json' };
import fourths from '../../presets/fourths-over-root.json' with { type: 'json' };
import { obey } from '../../src/commands/play/orders.ts';
import { createPlainOutput } from '../../src/commands/play/plain-output.ts';
import { EngineSession } from '../../src/io/engine/engine-session.ts';
import { createEngine } from '../../src/live/engine.ts';
import { fromFileForm, type PresetFile } from '../../src/presets/file-form.ts';
import { Library } from '../../src/session/presets/preset-library.ts';
import { PlaySession } from '../../src/session/session.ts';
import { createFakeClock } from './fake-clock.ts';

export type Line = {
  readonly heard: { readonly symbol: string; readonly notes: readonly { midi: number }[] };
  readonly sent: {
    readonly symbol: string;
    readonly technique: string;
    readonly label: string;
    readonly leftOut: readonly string[];
    readonly notes: readonly { midi: number }[];
  };
  readonly preset: string;
  readonly choice?: { readonly by: string; readonly index: number; readonly of: number };
  readonly isUnheard?: boolean;
  readonly kept?: { readonly chord: string };
};

export function rehearseIn(folder: string, preset: string) {
  const presets = Object.entries({ 'fourths-over-root': fourths, 'drop-2-sevenths': drop2 }).map(
    ([id, file]) => fromFileForm(file as PresetFile, id),
  );
  const first = presets.find(({ id }) => id === preset);
  if (first === undefined) throw new Error(preset);
  const setup = { preset: first, presets, key: 'C major' };
  const clock = createFakeClock();
  const engine = new EngineSession({ createEngine, setup, clock, send: () => {} });
  const session = new PlaySession({ setup, presets, ports: undefined });
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
    keep: (scope) => engine.keep(scope),
    latch: () => engine.latch(),
    listen: (isOn) => engine.listen(isOn),
    takeShape: () => engine.takeShape(),
    follow: (stage) => engine.follow(stage),
    oneKey: (isOn) => engine.oneKey(isOn),
    setPlace: (chord) => engine.setPlace(chord),
    play: (bytes, written) => engine.receive('rehearsal', bytes, clock.now(), written),
    panic: () => engine.panic(),
    close: async () => {},
    soundTo: () => {},
    listPorts: async () => 'No MIDI system here.',
    closeNow: () => {},
  });
  const entries = presets.map((each) => ({ preset: each, origin: 'shipped' as const, file: '' }));
  const library = new Library(session, entries, folder);
  const order = async (...orders: readonly string[]) => {
    texts.out = '';
    texts.err = '';
    const said: string[] = [];
    for (const each of orders) {
      const obeyed = obey(each, session);
      clock.advanceTo(clock.now() + 100_000);
      const reports = engine.takeReports();
      output.onReports(reports);
      output.onState(state());
      session.tape.takeReports(reports);
      session.keeping.take(reports);
      session.takeState(state());
      const answer = await obeyed;
      if (answer !== '') said.push(answer);
    }
    // Where JSON is asked for, what is said is a line of it as well.
    const values = texts.out
      .split('\n')
      .filter(Boolean)
      .map((line): Line | { readonly said: string } => JSON.parse(line));
    const lines = values.filter((value): value is Line => !('said' in value));
    const told = values.flatMap((value) => ('said' in value ? [value.said] : []));
    return { lines, said: [...said, ...told, texts.err].filter(Boolean) };
  };
  return Object.assign(order, { folder, own: library, session });
}
