/**
 * `npm run bench:alsa [trip|sound|start]`: the round trip among real ALSA clients, the same with the
 * built-in sound on and off, and the start until the ports are open, each beside its yardstick in
 * the same run and interleaved with it. Measures and prints;
 * asserts nothing. Under emulation milliseconds are 10 to 15 times too long: read the ratios.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect, openPath, type Path } from './alsa-path.ts';
import { milliseconds, type Spread, spreadOf } from './measure.ts';

const rounds = 12;
const perRound = 15;
const starts = 7;
const soundRounds = 5;
const perSoundRound = 40;
/** Milliseconds from the start of a process until it sounds, or says why it does not. */
const longestSoundStart = 60_000;
const chordsAfterStart = 100;
const triad = [0, 4, 7];

const children: ChildProcess[] = [];
const home = mkdtempSync(join(tmpdir(), 'handspan-bench-'));
// The sound plays into nothing, at the pace of a device: the guest has none that keeps it.
const environment = {
  ...process.env,
  HANDSPAN_HOME: home,
  HANDSPAN_SOUND: 'none',
  TERM: 'xterm-256color',
};

/**
 * Two ways to answer without a wait, so that none is measured: each note at once, and each chord
 * with the last of as many keys as the chords before it had.
 */
const kinds = [
  {
    what: 'One note',
    preset: 'each-note',
    gathering: { mode: 'at-once', ceilingMilliseconds: 5 },
    notes: (root: number) => [root],
  },
  {
    what: 'A triad, its last note to the last of the answer',
    preset: 'each-triad',
    gathering: { mode: 'adaptive', ceilingMilliseconds: 100 },
    notes: (root: number) => triad.map((above) => root + above),
  },
] as const;
type Kind = (typeof kinds)[number];

function writePresets(): void {
  const shipped = JSON.parse(readFileSync(join('presets', 'fourths-over-root.json'), 'utf8'));
  mkdirSync(join(home, 'presets'));
  for (const { preset, gathering } of kinds) {
    const text = JSON.stringify({ ...shipped, name: preset, gathering });
    writeFileSync(join(home, 'presets', `${preset}.json`), text);
  }
}

function run(command: string, args: readonly string[]): ChildProcess {
  const child = spawn(command, [...args], {
    env: environment,
    stdio: ['pipe', 'ignore', command === 'script' ? 'ignore' : 'inherit'],
  });
  children.push(child);
  return child;
}

const playing = ({ toName, fromName }: Path, { preset }: Kind): string[] => [
  'dist/cli.js',
  'play',
  '--preset',
  preset,
  '--from',
  toName,
  '--to',
  fromName,
];

type Way = { readonly name: string; readonly path: Path; readonly times: number[] };

async function openWays(kind: Kind): Promise<Way[]> {
  const way = (name: string): Way => ({
    name,
    path: openPath(`${name} ${kind.preset}`),
    times: [],
  });
  const ways = {
    kernel: way('kernel alone'),
    echo: way('worker echo'),
    plain: way('Handspan, no screen'),
    screen: way('Handspan, screen'),
  };
  const through = 'Midi Through Port-0';
  connect(ways.kernel.path.toName, through);
  connect(through, ways.kernel.path.fromName);
  const echo = join(import.meta.dirname, 'alsa-echo.mjs');
  run(process.execPath, [echo, ways.echo.path.toName, ways.echo.path.fromName]);
  await ways.echo.path.connected(kind.notes(60));
  run(process.execPath, [...playing(ways.plain.path, kind), '--plain']);
  await ways.plain.path.connected(kind.notes(60));
  const words = [process.execPath, ...playing(ways.screen.path, kind)].map((word) => `'${word}'`);
  const inTerminal = `stty cols 120 rows 40; exec ${words.join(' ')}`;
  run('script', ['-qefc', inTerminal, '/dev/null']);
  await ways.screen.path.connected(kind.notes(60));
  return Object.values(ways);
}

function print(title: string, rows: readonly (readonly string[])[]): void {
  const widths = (rows[0] ?? []).map((_, column) =>
    Math.max(...rows.map((row) => (row[column] ?? '').length)),
  );
  process.stdout.write(`\n${title}\n`);
  for (const row of rows) {
    const cells = row.map((cell, column) =>
      column === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[column] ?? 0),
    );
    process.stdout.write(`  ${cells.join('  ')}\n`);
  }
}

const ratio = (one: number, other: number) => `${(one / other).toFixed(2)} x`;
const against = (one: Spread, yardstick: Spread) => [
  milliseconds(one.median),
  milliseconds(one.p99),
  milliseconds(one.worst),
  ratio(one.median, yardstick.median),
  ratio(one.p99, yardstick.p99),
];

async function roundTrip(kind: Kind): Promise<void> {
  const ways = await openWays(kind);
  for (let round = 0; round < rounds; round += 1) {
    for (const { path, times } of ways) {
      for (let i = 0; i < perRound; i += 1) {
        const span = await path.time(kind.notes(55 + (((round + i) * 5) % 12)));
        if (span !== undefined) times.push(span);
      }
    }
  }
  const yardstick = spreadOf(ways[1]?.times ?? []);
  print(`${kind.what}, ${rounds * perRound} times each (aim: median 1.2 x, p99 1.5 x)`, [
    ['', 'median', 'p99', 'worst', 'median / echo', 'p99 / echo', 'lost'],
    ...ways.map(({ name, times }) => [
      name,
      ...against(spreadOf(times), yardstick),
      `${rounds * perRound - times.length}`,
    ]),
  ]);
  await endAll();
}

async function endAll(): Promise<void> {
  const endings = children.map((child) => once(child, 'exit'));
  for (const child of children) child.kill('SIGTERM');
  await Promise.all(endings);
  children.length = 0;
}

/** Milliseconds from the start of a process until it ends. */
function timeProcess(code: string): number {
  const start = performance.now();
  const { status, stderr } = spawnSync(process.execPath, ['-e', code], { encoding: 'utf8' });
  if (status !== 0) throw new Error(stderr);
  return performance.now() - start;
}

/** Milliseconds until the ports are open, then the round trip of each chord from then on. */
async function timeStart(
  path: Path,
): Promise<{ readonly start: number; readonly chords: number[] }> {
  const from = performance.now();
  const child = spawn(process.execPath, [...playing(path, kinds[1]), '--plain'], {
    env: environment,
    stdio: ['pipe', 'ignore', 'pipe'],
  });
  await new Promise((resolve) => child.stderr?.once('data', resolve));
  const start = performance.now() - from;
  const chords: number[] = [];
  for (let i = 0; i < chordsAfterStart; i += 1) {
    const span = await path.time(kinds[1].notes(55 + ((i * 5) % 12)));
    if (span !== undefined) chords.push(span);
  }
  const ended = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await ended;
  return { start, chords };
}

async function startUp(): Promise<void> {
  const path = openPath('start');
  const times: Record<'node' | 'binding' | 'opening' | 'play', number[]> = {
    node: [],
    binding: [],
    opening: [],
    play: [],
  };
  const chords: number[][] = [];
  const load = "const { Output } = require('@julusian/midi/lazy'); const port = new Output();";
  for (let round = 0; round < starts; round += 1) {
    times.node.push(timeProcess(''));
    times.binding.push(timeProcess(load));
    times.opening.push(timeProcess(`${load} port.openVirtualPort('alone'); port.destroy();`));
    const started = await timeStart(path);
    times.play.push(started.start);
    chords.push(started.chords);
  }
  const median = (list: readonly number[]) => spreadOf(list).median;
  const binding = median(times.binding);
  const row = (name: string, list: readonly number[]) => {
    return [name, milliseconds(median(list)), ratio(median(list), binding)];
  };
  print(`Start of a process, ${starts} interleaved rounds (aim: 2 x the binding)`, [
    ['', 'median', '/ binding'],
    row('node alone', times.node),
    row('node with the binding and a client of its own', times.binding),
    row('the same, and a virtual port', times.opening),
    row('handspan play until its ports are open', times.play),
  ]);
  const nth = (n: number) => milliseconds(median(chords.flatMap((list) => list[n - 1] ?? [])));
  print(`Round trip of the first chords after a start, median of ${starts} starts`, [
    ['1st', '2nd', '10th', '100th'],
    [nth(1), nth(2), nth(10), nth(chordsAfterStart)],
  ]);
}

/** Resolves once it has said how things are with the sound; rejects where there is none. */
async function sounding(child: ChildProcess): Promise<void> {
  let said = '';
  const heard = new Promise<void>((resolve, reject) => {
    const late = setTimeout(
      () => reject(new Error(`no word of sound: ${said}`)),
      longestSoundStart,
    );
    child.stderr?.on('data', (bytes) => {
      said += String(bytes);
      if (/sound is on/.test(said)) resolve();
      else if (/No sound:/.test(said)) reject(new Error(said));
      else return;
      clearTimeout(late);
    });
  });
  await heard;
}

/** Takes all the time nobody else wants, as little in the way of others as Linux knows. */
const idler = ['-i', '0', process.execPath, '-e', 'for (;;);'];
const soundWays = ['off', 'on', 'stranger'] as const;

/**
 * A process with the sound, one without, and one without beside a stranger that only keeps a processor
 * busy: what any other program costs there. In turn, so that none is there while another plays.
 */
async function soundRoundTrip(): Promise<void> {
  const path = openPath('sound');
  const times: Record<(typeof soundWays)[number], number[]> = { off: [], on: [], stranger: [] };
  const [, kind] = kinds;
  // Read once from the disk, which takes a guest longer than a start may.
  const began = performance.now();
  timeProcess("import('node-web-audio-api').then(() => process.exit())");
  process.stdout.write(
    `The audio library was read in ${milliseconds(performance.now() - began)}.\n`,
  );
  for (let round = 0; round < soundWays.length * soundRounds; round += 1) {
    const way = soundWays[round % soundWays.length] ?? 'off';
    const words = [...playing(path, kind), '--plain', ...(way === 'on' ? ['--sound'] : [])];
    const child = spawn(process.execPath, words, {
      env: environment,
      stdio: ['pipe', 'ignore', 'pipe'],
    });
    children.push(child);
    if (way === 'on') await sounding(child);
    if (way === 'stranger') children.push(spawn('chrt', idler, { stdio: 'ignore' }));
    await path.connected(kind.notes(60));
    for (let i = 0; i < perSoundRound; i += 1) {
      const span = await path.time(kind.notes(55 + (((round + i) * 5) % 12)));
      if (span !== undefined) times[way].push(span);
    }
    await endAll();
  }
  const yardstick = spreadOf(times.off);
  const asked = soundRounds * perSoundRound;
  print(`${kind.what}, the built-in sound on against off, ${asked} times each (aim: 1.1 x)`, [
    ['', 'median', 'p99', 'worst', 'median / off', 'p99 / off', 'lost'],
    ...soundWays.map((way) => [
      way === 'stranger' ? 'off, a stranger busy' : `sound ${way}`,
      ...against(spreadOf(times[way]), yardstick),
      `${asked - times[way].length}`,
    ]),
  ]);
}

const sections = {
  trip: async () => {
    for (const kind of kinds) await roundTrip(kind);
  },
  sound: soundRoundTrip,
  start: startUp,
};
const wished = process.argv.slice(2);
writePresets();
try {
  for (const [name, measure] of Object.entries(sections)) {
    if (wished.length === 0 || wished.includes(name)) await measure();
  }
} finally {
  for (const child of children) child.kill('SIGKILL');
}
process.exit();
