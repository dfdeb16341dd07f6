/**
 * Playing without a screen: one line per chord on standard output, and on standard error what goes
 * wrong on stage, such as a port that vanishes; as JSON all of it is lines of standard output. When
 * standard input is a pipe or a file, its lines are orders: `preset NAME`, `key KEY`, `register
 * LOW-HIGH`, `record` (begins a take, or ends it), `keep` (the last minutes), `write chart`, `panic`,
 * `quit`; by ear (choice-orders.ts) `voicing next`, `voicing previous` and so on, `latch`, `take shape`;
 * in a tune `place BAR`, `one-key`, `reload` (its chart); `charts`, `chart open NAME`, `chart close`; in rehearsal `play SYMBOL`, `play NOTE NOTE …` and `let go`.
 */
import { createInterface } from 'node:readline';
import { setTimeout as setTimeoutPromise } from 'node:timers/promises';
import type { Streams } from '../../cli/command.ts';
import { given } from '../../common/given.ts';
import { parseKey } from '../../harmony/key/key.ts';
import type { PortState, StageState } from '../../io/engine/stage-state.ts';
import { userFolders } from '../../io/files/folders.ts';
import type { Settings } from '../../io/files/settings.ts';
import type { ChordReport, Snapshot, TakenShape } from '../../live/snapshot.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { parseRegister } from '../../presets/register.ts';
import { latchSentence, shapeSentence } from '../../session/choice-sentence.ts';
import { thereIsNone } from '../../session/presets/preset-lookup.ts';
import { presetNameProblem } from '../../session/presets/preset-name.ts';
import { writtenChord } from '../../session/rehearsal/written-chord.ts';
import { sendChart } from '../../session/send-chords.ts';
import type { PlaySession } from '../../session/session.ts';
import type { PlaceMove } from '../../tune/moved-place.ts';
import { turns } from '../../voicing/choices.ts';
import { keptScopes } from '../../voicing/kept.ts';
import { Answering } from './answering.ts';
import { isTurn, obeyTurn } from './choice-orders.ts';
import { chordJson, chordLine, shapeJson } from './chord-lines.ts';

/** A terminal that moves no cursor, as in an editor or over some serial lines. */
export function isDumb(): boolean {
  return process.env['TERM'] === 'dumb';
}

export const orderNames = [
  'preset',
  'key',
  'register',
  ...turns,
  'play',
  'let go',
  'place',
  'one-key',
  'reload',
  'chart open',
  'chart close',
  'charts',
  'latch',
  'record',
  'write chart',
  'keep',
  'keep voicing',
  'take shape',
  'keep shape',
  'panic',
  'quit',
];

export type PlainOutput = {
  readonly onReports: (reports: readonly ChordReport[]) => void;
  readonly onState: (
    state: Pick<StageState, 'ports' | 'notice'> & {
      readonly snapshot?: Pick<Snapshot, 'said' | 'isLatched' | 'shape'>;
    },
  ) => void;
};

/** "The input 'Stage keys' is gone; what it held is released." */
function portSentence({ direction, name, isOpen }: PortState): string {
  if (direction === 'out') return `The output '${name}' is ${isOpen ? 'back' : 'gone'}.`;
  return `The input '${name}' is ${isOpen ? 'back' : 'gone; what it held is released'}.`;
}

/** `order`: what it answers. Where JSON was asked for, it is a line of it: `{"said": …, "order": …}`. */
function sayerOf({ stdout, stderr }: Streams, isJson: boolean) {
  return (said: string, order?: string): void => {
    if (isJson) stdout.write(`${JSON.stringify({ said, ...given('order', order) })}\n`);
    else stderr.write(`handspan: ${said}\n`);
  };
}

/** Times count from the first chord's session start, which the first report is measured against. */
export function createPlainOutput(
  streams: Streams,
  isJson: boolean,
  answering = new Answering(),
): PlainOutput {
  let start: number | undefined;
  const gone = new Set<string>();
  let noticed = '';
  let told = 0;
  let wasLatched: boolean | undefined;
  let shapes = 0;
  const say = sayerOf(streams, isJson);
  /** A sentence of the engine's: where an order waits for one, it is the answer. */
  const answer = (sentence: string) => {
    say(sentence, answering.order);
    answering.tell();
  };
  const sayLatch = (isLatched: boolean) => {
    if (isLatched !== (wasLatched ?? isLatched)) answer(latchSentence(isLatched));
    wasLatched = isLatched;
  };
  const writeShape = (shape: TakenShape | undefined) => {
    if (shape === undefined || shape.count === shapes) return;
    shapes = shape.count;
    streams.stdout.write(`${isJson ? shapeJson(shape) : shapeSentence(shape)}\n`);
  };
  return {
    onState({ ports, notice, snapshot }) {
      for (const port of ports) {
        const id = `${port.direction} ${port.name}`;
        if (port.isOpen !== gone.has(id)) continue;
        if (port.isOpen) gone.delete(id);
        else gone.add(id);
        say(portSentence(port));
      }
      if (notice !== noticed && notice !== '') say(notice);
      noticed = notice;
      sayLatch(snapshot?.isLatched === true);
      writeShape(snapshot?.shape);
      const { count = 0, sentences = [] } = snapshot?.said ?? {};
      const fresh = Math.min(Math.max(0, count - told), sentences.length);
      for (const sentence of sentences.slice(sentences.length - fresh)) answer(sentence);
      told = count;
    },
    onReports(reports) {
      for (const report of reports) {
        start ??= report.atMicroseconds;
        const isAnswer = report.choice !== undefined || report.kept !== undefined;
        const order = isAnswer ? answering.order : undefined;
        const line = isJson ? chordJson(report, start, order) : chordLine(report, start);
        streams.stdout.write(`${line}\n`);
        if (isAnswer) answering.tell();
      }
    },
  };
}

/** Obeys one order; returns a sentence where there is something to say, 'quit' to leave, '' when done. */
export function obey(order: string, session: PlaySession): string | Promise<string> {
  const [word = '', ...rest] = order.trim().split(/\s+/);
  const value = rest.join(' ');
  const verb = word.toLowerCase();
  if (isTurn(verb)) return obeyTurn(verb, value, session);
  switch (verb) {
    case '':
      return '';
    case 'preset': {
      const preset = session.presets.find(
        ({ id, name }) => id === value || name.toLowerCase() === value.toLowerCase(),
      );
      if (preset === undefined) {
        const none = thereIsNone(value, session.presets);
        return `T${none.slice(1)}; '${session.setup.preset.id}' plays on.`;
      }
      session.choosePreset(preset);
      return '';
    }
    case 'key':
      return setKey(value, session);
    case 'register': {
      const register = parseRegister(value);
      return register.ok ? session.setRegister('upper', register.value) : register.problem;
    }
    case 'play':
      return playWritten(value, session);
    case 'let':
      if (value.toLowerCase() !== 'go') return "'let' alone is no order; say 'let go'.";
      session.rehearsal.letGo();
      return '';
    case 'latch':
      session.latch();
      return '';
    case 'take':
      if (value.toLowerCase() !== 'shape') return "'take' alone is no order; say 'take shape'.";
      session.takeShape();
      return '';
    case 'one-key': {
      const isOn = value.toLowerCase() !== 'off';
      return session.tune.turnOneKey(isOn);
    }
    case 'reload':
      return session.tune.reload();
    case 'charts':
      return session.charts?.list() ?? noCharts;
    case 'chart':
      return openOrClose(rest, session);
    case 'place':
      return setPlace(value, session);
    case 'write':
      if (value.toLowerCase() !== 'chart') return "'write' alone is no order; say 'write chart'.";
      return writeChart(session);
    case 'record':
      return session.tape.toggle();
    case 'keep':
      return value === '' ? session.tape.keep() : keepVoicing(value, session);
    case 'panic':
      session.panic();
      return '';
    case 'quit':
      return 'quit';
    default:
      return `'${word}' is no order${adviseNearest(word, orderNames)}; there are ${orderNames.join(', ')}.`;
  }
}

const noCharts = 'No charts can be opened here.';

/** 'chart open NAME', 'chart close'. */
function openOrClose(
  [what = '', ...name]: readonly string[],
  { charts }: PlaySession,
): string | Promise<string> {
  if (charts === undefined) return noCharts;
  if (what.toLowerCase() === 'close' && name.length === 0) return charts.close();
  if (what.toLowerCase() === 'open') return charts.open(name.join(' '));
  return "'chart' wants 'open' and a name after it, or 'close'; 'charts' says which there are.";
}

const scopes: readonly string[] = keptScopes;

/** 'voicing', 'voicing degree', 'voicing type', 'voicing chord'. */
function keepVoicing(value: string, session: PlaySession): string | Promise<string> {
  const shape = /^shape(?:\s+(.*))?$/iu.exec(value);
  if (shape !== null) return keepShape(shape[1] ?? '', session);
  const [what = '', asked = session.memory.keptFor ?? 'type', ...more] = value.split(/\s+/);
  const scope = keptScopes.find((each) => each === asked.toLowerCase());
  if (what.toLowerCase() !== 'voicing' || scope === undefined || more.length > 0) {
    return `'keep ${value}' is no order; say 'keep voicing', for another scope with ${scopes.join(', ')} after it.`;
  }
  return session.keep(scope);
}

/** What the engine has just been asked for is told of within this; milliseconds. */
const tellingMilliseconds = { usual: 200, longest: 600 } as const;

/** Orders come faster than the engine tells of them: resolves once `isTold`, or when it never will be. */
async function untilTold(session: PlaySession, isTold: () => boolean): Promise<void> {
  if (isTold()) return;
  await new Promise<void>((resolve) => {
    const end = (): void => {
      clearTimeout(timer);
      stop();
      resolve();
    };
    const timer = setTimeout(end, tellingMilliseconds.longest);
    const stop = session.subscribe(() => {
      if (isTold()) end();
    });
  });
}

async function writeChart(session: PlaySession): Promise<string> {
  await setTimeoutPromise(tellingMilliseconds.usual);
  return sendChart(
    userFolders(process.env).charts,
    session.chords,
    session.setup.key,
    session.tune.chart,
  );
}

async function keepShape(name: string, session: PlaySession): Promise<string> {
  const problem =
    name === '' ? "'keep shape' needs a name for its preset after it." : presetNameProblem(name);
  if (problem !== '') return problem;
  await untilTold(session, () => session.takenShape !== undefined);
  return session.keepShape(name);
}

/** Only where no keyboard plays: what a keyboard holds cannot be let go from here. */
function playWritten(value: string, session: PlaySession): string {
  if (session.state.ports.length > 0) {
    return "'play' is for a rehearsal: start with --rehearse, or play on a keyboard.";
  }
  const chord = writtenChord(value);
  if (!chord.ok) return chord.problem;
  session.rehearsal.playNotes(chord.notes);
  return '';
}

const placeMoves: Readonly<Record<string, PlaceMove>> = {
  top: { to: 'top' },
  next: { to: 'chord', by: 1 },
  previous: { to: 'chord', by: -1 },
  'next section': { to: 'section', by: 1 },
  'previous section': { to: 'section', by: -1 },
};

/** 'place 12', 'place top', 'place next section': where in the tune the next chord is. */
async function setPlace(value: string, session: PlaySession): Promise<string> {
  const { tune } = session;
  const move = placeMoves[value.toLowerCase().replace(/\s+/gu, ' ')];
  if (move !== undefined) return tune.move(move);
  if (/^\d+$/.test(value)) return tune.toBar(Number(value));
  const ways = Object.keys(placeMoves).map((each) => `'place ${each}'`);
  return `'place' wants a bar of the tune, such as 'place 9', or ${ways.join(', ')}.`;
}

function setKey(value: string, session: PlaySession): string {
  if (value.toLowerCase() === 'none') {
    session.setKey(undefined);
    return '';
  }
  const key = parseKey(value);
  if (!key.ok) return `${key.problem}.`;
  session.setKey(key.value);
  return '';
}

function isPlay(line: string): boolean {
  return /^\s*play\s/i.test(line);
}

/** Until a chord that was ordered is read: a hand would hold it at least as long. */
function held({ setup }: PlaySession): Promise<void> {
  const milliseconds = setup.preset.gathering.ceilingMilliseconds + 20;
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

/**
 * Reads orders until the input ends. A terminal that could have had the screen is not read, so that
 * a job in the background runs.
 */
export function followOrders({
  session,
  streams,
  isJson,
  onQuit,
  onObeyed,
  answering = new Answering(),
}: {
  readonly session: PlaySession;
  readonly streams: Streams;
  readonly isJson: boolean;
  readonly onQuit: () => void;
  /** After each of them, with the settings before it. */
  readonly onObeyed: (before: Settings) => void;
  readonly answering?: Answering;
}): () => void {
  const say = sayerOf(streams, isJson);
  if (process.stdin.isTTY === true && !isDumb()) return () => {};
  const lines = createInterface({ input: process.stdin });
  // A rehearsal that was written down ends with its last line.
  const finish = (): void => {
    void obeyed.then(() => {
      if (!session.rehearsal.isPlayed()) return;
      session.rehearsal.letGo();
      onQuit();
    });
  };
  lines.on('close', finish);
  // One after the other: what is kept is there for the chords that follow.
  let obeyed: Promise<void> = Promise.resolve();
  lines.on('line', (line) => {
    let before: Settings = {};
    obeyed = obeyed
      .then(() => {
        before = session.settings();
        return answering.during(line, () => obey(line, session));
      })
      .then((answer) => {
        onObeyed(before);
        if (answer === 'quit') onQuit();
        else if (answer !== '') say(answer, line.trim());
        return isPlay(line) ? held(session) : undefined;
      });
  });
  return () => {
    lines.off('close', finish);
    lines.close();
  };
}
