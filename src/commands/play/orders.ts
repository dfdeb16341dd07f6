/**
 * The orders of a run without a screen: `preset NAME`, `key KEY`, `register LOW-HIGH`, `record` (begins
 * a take, or ends it), `keep` (the last minutes), `write chart`, `panic`, `quit`; by ear
 * (choice-orders.ts) `voicing next`, `voicing previous` and so on, `latch`, `take shape`; `listen`,
 * `listen off` (nothing is revoiced, and what is played is named); `learn NAME`
 * (a preset of what was just played), `mark` and `learn NAME since mark`; in a tune
 * `place BAR`, `one-key`, `reload` (its chart); `charts`, `chart open NAME`, `chart close`; in rehearsal
 * `play SYMBOL`, `play NOTE NOTE …` and `let go`.
 */
import { setTimeout as setTimeoutPromise } from 'node:timers/promises';
import { type Result, refused } from '../../common/result.ts';
import { formatKey, parseKey } from '../../harmony/key/key.ts';
import { userFolders } from '../../io/files/folders.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { formatRegister, parseRegister } from '../../presets/register.ts';
import { listenSentence } from '../../session/choice-sentence.ts';
import { thereIsNone } from '../../session/presets/preset-lookup.ts';
import { presetNameProblem } from '../../session/presets/preset-name.ts';
import { writtenChord } from '../../session/rehearsal/written-chord.ts';
import { sendChart } from '../../session/send-chords.ts';
import type { PlaySession } from '../../session/session.ts';
import type { PlaceMove } from '../../tune/moved-place.ts';
import { turns } from '../../voicing/choices.ts';
import { keptScopes } from '../../voicing/kept.ts';
import { isTurn, obeyTurn } from './choice-orders.ts';

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
  'listen',
  'listen off',
  'record',
  'write chart',
  'keep',
  'keep voicing',
  'take shape',
  'keep shape',
  'learn',
  'mark',
  'panic',
  'quit',
];

/** What is wrong with an order comes back as it was given. */
type Refuse = (problem: string) => string;

/** The sentence of what was done, or of why it was not. */
type Answered = string | Result<string>;

/** Obeys one order; returns a sentence where there is something to say, 'quit' to leave, '' when done. */
export function obey(
  order: string,
  session: PlaySession,
  refuse: Refuse = (problem) => problem,
): string | Promise<string> {
  const told = (answer: Answered): string => {
    if (typeof answer === 'string') return answer;
    return answer.ok ? answer.value : refuse(answer.problem);
  };
  const answered = answerTo(order, session, refuse);
  return answered instanceof Promise ? answered.then(told) : told(answered);
}

function answerTo(
  order: string,
  session: PlaySession,
  refuse: Refuse,
): Answered | Promise<Answered> {
  const [word = '', ...rest] = order.trim().split(/\s+/);
  const value = rest.join(' ');
  const verb = word.toLowerCase();
  if (isTurn(verb)) return refuse(obeyTurn(verb, value, session));
  switch (verb) {
    case '':
      return '';
    case 'preset':
      return choosePreset(value, session, refuse);
    case 'key':
      return setKey(value, session, refuse);
    case 'register':
      return setRegister(value, session, refuse);
    case 'play':
      return refuse(playWritten(value, session));
    case 'let':
      if (value.toLowerCase() !== 'go') return refuse("'let' alone is no order; say 'let go'.");
      session.rehearsal.letGo();
      return '';
    case 'latch':
      session.latch();
      return '';
    case 'listen':
      return listen(value, session, refuse);
    case 'take':
      if (value.toLowerCase() !== 'shape')
        return refuse("'take' alone is no order; say 'take shape'.");
      session.takeShape();
      return '';
    case 'learn':
      return learn(value, session, refuse);
    case 'mark':
      return mark(session);
    case 'one-key':
      return session.tune.turnOneKey(value.toLowerCase() !== 'off');
    case 'reload':
      return session.tune.reload();
    case 'charts':
      return session.charts?.list() ?? refused(noCharts);
    case 'chart':
      return openOrClose(rest, session);
    case 'place':
      return refuse(setPlace(value, session));
    case 'write':
      if (value.toLowerCase() !== 'chart')
        return refuse("'write' alone is no order; say 'write chart'.");
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
      return refuse(
        `'${word}' is no order${adviseNearest(word, orderNames)}; there are ${orderNames.join(', ')}.`,
      );
  }
}

/** 'listen', 'listen off'; a sentence where it is neither. */
function listen(value: string, session: PlaySession, refuse: Refuse): string {
  const how = value.toLowerCase();
  if (how !== '' && how !== 'on' && how !== 'off') {
    return refuse(`'listen ${value}' is no order; say 'listen' or 'listen off'.`);
  }
  const isOn = how !== 'off';
  if (isOn === session.isListening) return listenSentence(isOn);
  session.listen(isOn);
  return '';
}

const noCharts = 'No charts can be opened here.';

/** 'chart open NAME', 'chart close'. */
function openOrClose(
  [what = '', ...name]: readonly string[],
  { charts }: PlaySession,
): Answered | Promise<Answered> {
  if (charts === undefined) return refused(noCharts);
  if (what.toLowerCase() === 'close' && name.length === 0) return charts.close();
  if (what.toLowerCase() === 'open') return charts.open(name.join(' '));
  return refused(
    "'chart' wants 'open' and a name after it, or 'close'; 'charts' says which there are.",
  );
}

const scopes: readonly string[] = keptScopes;

/** 'voicing', 'voicing degree', 'voicing type', 'voicing chord'. */
function keepVoicing(value: string, session: PlaySession): Answered | Promise<Answered> {
  const shape = /^shape(?:\s+(.*))?$/iu.exec(value);
  if (shape !== null) return keepShape(shape[1] ?? '', session);
  const [what = '', asked = session.memory.keptFor ?? 'type', ...more] = value.split(/\s+/);
  const scope = keptScopes.find((each) => each === asked.toLowerCase());
  if (what.toLowerCase() !== 'voicing' || scope === undefined || more.length > 0) {
    return refused(
      `'keep ${value}' is no order; say 'keep voicing', for another scope with ${scopes.join(', ')} after it.`,
    );
  }
  return session.keeping.keep(scope);
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

async function writeChart(session: PlaySession): Promise<Answered> {
  await setTimeoutPromise(tellingMilliseconds.usual);
  return sendChart(
    userFolders(process.env).charts,
    session.chords,
    session.setup.key,
    session.tune.chart,
  );
}

async function keepShape(name: string, session: PlaySession): Promise<Answered> {
  const problem =
    name === '' ? "'keep shape' needs a name for its preset after it." : presetNameProblem(name);
  if (problem !== '') return refused(problem);
  await untilTold(session, () => session.keeping.takenShape !== undefined);
  return session.keeping.keepShape(name);
}

/** What was played before it may still be on its way here. */
async function mark({ tape }: PlaySession): Promise<string> {
  await setTimeoutPromise(tellingMilliseconds.usual);
  return tape.mark();
}

const sinceMark = /\s+since mark$/iu;

/** The name may stand in quotes, as in a shell. */
async function learn(value: string, session: PlaySession, refuse: Refuse): Promise<string> {
  const isMarked = sinceMark.test(value);
  const words = value.replace(sinceMark, '');
  const name = /^(['"])(.*)\1$/u.exec(words)?.[2]?.trim() ?? words;
  if (name === '') return refuse("'learn' needs a name for its preset after it.");
  const since = isMarked ? session.tape.markedAt : undefined;
  if (isMarked && since === undefined) return refuse("Nothing is marked: say 'mark' first.");
  // The last notes may still be on their way here.
  await setTimeoutPromise(tellingMilliseconds.usual);
  const learned = await session.onLearn(name, since);
  return learned.ok ? learned.value : refuse(learned.problem);
}

/** Only where no keyboard plays: what a keyboard holds cannot be let go from here. */
function playWritten(value: string, session: PlaySession): string {
  if (session.state.ports.length > 0) {
    return "'play' is for a rehearsal: start with --rehearse, or play on a keyboard.";
  }
  const chord = writtenChord(value);
  if (!chord.ok) return chord.problem;
  session.rehearsal.playNotes(chord.notes, chord.symbol);
  return '';
}

const placeMoves: Readonly<Record<string, PlaceMove>> = {
  top: { to: 'top' },
  next: { to: 'chord', by: 1 },
  previous: { to: 'chord', by: -1 },
  'next section': { to: 'section', by: 1 },
  'previous section': { to: 'section', by: -1 },
};

/** 'place 12', 'place top', 'place next section': where in the tune the next chord is; a sentence where it cannot be. */
function setPlace(value: string, session: PlaySession): string {
  const { tune } = session;
  const move = placeMoves[value.toLowerCase().replace(/\s+/gu, ' ')];
  if (move !== undefined) return tune.move(move);
  if (/^\d+$/.test(value)) return tune.toBar(Number(value));
  const ways = Object.keys(placeMoves).map((each) => `'place ${each}'`);
  return `'place' wants a bar of the tune, such as 'place 9', or ${ways.join(', ')}.`;
}

function choosePreset(value: string, session: PlaySession, refuse: Refuse): string {
  const preset = session.presets.find(
    ({ id, name }) => id === value || name.toLowerCase() === value.toLowerCase(),
  );
  if (preset === undefined) {
    const none = thereIsNone(value, session.presets);
    return refuse(`T${none.slice(1)}; '${session.setup.preset.id}' plays on.`);
  }
  session.choosePreset(preset);
  return `'${preset.name}' plays.`;
}

function setKey(value: string, session: PlaySession, refuse: Refuse): string {
  if (value.toLowerCase() === 'none') {
    session.setKey(undefined);
    return 'No key is set.';
  }
  const key = parseKey(value);
  if (!key.ok) return refuse(`${key.problem}.`);
  session.setKey(key.value);
  return `The key is ${formatKey(key.value)}.`;
}

function setRegister(value: string, session: PlaySession, refuse: Refuse): string {
  const register = parseRegister(value);
  if (!register.ok) return refuse(register.problem);
  const problem = session.setRegister('upper', register.value);
  return problem === ''
    ? `The voices stand in ${formatRegister(register.value)}.`
    : refuse(problem);
}
