/** A session with a host that only listens, for tests of what is asked of it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, vi } from 'vitest';
import { parseKey } from '../../src/harmony/key/key.ts';
import type { EngineHost } from '../../src/io/engine/engine-host.ts';
import type { PresetEntry } from '../../src/io/files/preset-files.ts';
import type { Settings } from '../../src/io/files/settings.ts';
import type { ChoiceStep } from '../../src/live/choosing/choice-step.ts';
import type { Setup } from '../../src/live/engine-api.ts';
import type { Snapshot } from '../../src/live/snapshot.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { act } from '../../src/session/intents.ts';
import { Library } from '../../src/session/presets/preset-library.ts';
import { createScreenModel } from '../../src/session/screen-model.ts';
import { PlaySession } from '../../src/session/session.ts';
import { SetUp } from '../../src/session/set-up/set-up.ts';
import { spoilt } from '../presets/sample.ts';
import { snapshotOf } from '../ui/fixtures.ts';

export function presetOf(id: string, changes: Parameters<typeof spoilt>[0] = {}): Preset {
  const parsed = parsePreset(spoilt({ name: id, ...changes }), id);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.value;
}

export const presets = [presetOf('one'), presetOf('two'), presetOf('three')];
export const entries: readonly PresetEntry[] = presets.map((preset) => ({
  preset,
  origin: 'shipped',
  file: `${preset.id}.json`,
}));

export function keyOf(text: string) {
  const parsed = parseKey(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

let folder = '';
export const sessionFolder = (): string => folder;

/** A folder of its own for each test of a file; to be called at its top. */
export function withSessionFolder(): void {
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'handspan-session-'));
  });
  afterEach(() => {
    vi.useRealTimers();
    rmSync(folder, { recursive: true });
  });
}

/** A session, with everything its host was asked. */
export function begin(memory: Settings = {}, snapshot: Partial<Snapshot> = {}) {
  const changes: Setup[] = [];
  const chosen: ChoiceStep[] = [];
  const played: (readonly number[])[] = [];
  /** The same as it is sent: what is struck at one time in one. */
  const strokes: (readonly number[])[] = [];
  const [first] = presets;
  if (first === undefined) throw new Error('no preset');
  const ports = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] };
  const session = new PlaySession({
    setup: { preset: first, presets },
    presets,
    ports,
    memory,
  });
  const stateOf = (more: Partial<Snapshot>) => ({
    snapshot: snapshotOf(more.chords ?? [], { preset: first.id, key: '', ...more }),
    ports: [],
    notice: '',
  });
  const host: EngineHost = {
    firstState: stateOf(snapshot),
    change: (setup) => changes.push(setup),
    choose: (step) => chosen.push(step),
    keep: () => {},
    latch: () => {},
    listen: () => {},
    takeShape: () => {},
    follow: () => {},
    oneKey: () => {},
    setPlace: () => {},
    play: (bytes) => {
      strokes.push(bytes);
      for (let from = 0; from < bytes.length; from += 3) played.push(bytes.slice(from, from + 3));
    },
    panic: () => {},
    close: async () => {},
    soundTo: () => {},
    listPorts: async () => 'No MIDI system here.',
    closeNow: () => {},
  };
  session.begin(host);
  const library = new Library(session, entries, join(folder, 'presets'));
  const opened: unknown[] = [];
  const setUp = new SetUp(session, {
    listPorts: async () => ({ inputs: ['Stage keyboard'], outputs: ['Handspan out', 'Studio'] }),
    openPorts: async (wishes) => {
      opened.push(wishes);
      return '';
    },
  });
  const parts = { session, library, setUp };
  const folders = {
    settings: folder,
    presets: join(folder, 'presets'),
    charts: join(folder, 'charts'),
    takes: join(folder, 'takes'),
  };
  return {
    ...parts,
    host,
    parts,
    changes,
    played,
    strokes,
    chosen,
    opened,
    folders,
    act: (intent: Parameters<typeof act>[0]) => act(intent, parts, folders),
    model: createScreenModel(parts, { message: '' }),
    show: (more: Partial<Snapshot>) => session.takeState(stateOf(more)),
  };
}
