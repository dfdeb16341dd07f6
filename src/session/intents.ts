/** What each intent of the screen does to the session; the end is the caller's. */

import { join } from 'node:path';
import { errorText } from '../common/error-text.ts';
import { refused, sentenceOf } from '../common/result.ts';
import { counted } from '../common/words.ts';
import { formatKey } from '../harmony/key/key.ts';
import { setOfNotes } from '../harmony/pitch/pitch-class-set.ts';
import { pitchClassOfSpelled } from '../harmony/pitch/pitch-name.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import type { Folders } from '../io/files/folders.ts';
import { noTune } from '../live/tune/sentences.ts';
import { moveRegister } from '../ui/register-move.ts';
import type { Intent } from '../ui/stage-model.ts';
import { comparisonOf, presetsToCompare } from './compare-chords.ts';
import { movedKey, turnedKey } from './key-steps.ts';
import { writtenChord } from './rehearsal/written-chord.ts';
import { describedBy } from './remembered-settings.ts';
import type { ScreenParts } from './screen-model.ts';
import { sendChart, sendTake, writeInFolder } from './send-chords.ts';
import type { PlaySession } from './session.ts';

/** A marked chord is told of once it is read: its keys were struck so long before, at most. */
const readingMicroseconds = 200_000;

type Handlers = {
  readonly [T in Intent['type']]: (
    intent: Extract<Intent, { type: T }>,
    parts: ScreenParts,
    folders: Folders,
    onQuit: () => void,
  ) => void | Promise<void>;
};

function moveEdge(
  session: PlaySession,
  { register, edge, semitones }: Extract<Intent, { type: 'moveRegister' }>,
): void {
  const { lowest, highest } = session.setup[register] ?? session.setup.preset[register];
  const moved = moveRegister({ lowest, highest }, edge, semitones);
  const problem = session.setRegister(register, moved);
  if (problem !== '') session.say(problem);
}

/** Asks for the other reading of the notes, or takes that back. */
function pinReading(session: PlaySession, place: number): void {
  const heard = session.chords[place]?.heard;
  if (heard === undefined) return;
  const notes = heard.notes.map((each) => each.note);
  const set = setOfNotes(notes);
  const bass = Math.min(...notes) % 12;
  const { overrides = [] } = session.setup;
  const others = overrides.filter((override) => override.set !== set || override.bass !== bass);
  if (others.length < overrides.length) {
    session.setReadingOverrides(others);
    session.say(`These notes are read by the context again, from the next time on.`);
    return;
  }
  const parsed = heard.runnerUp === '' ? undefined : parseSymbol(heard.runnerUp);
  if (parsed?.ok !== true) {
    session.say('These notes have no other reading.');
    return;
  }
  const { root, type } = parsed.value;
  session.setReadingOverrides([
    ...others,
    { set, bass, root: pitchClassOfSpelled(root), tones: type.tones },
  ]);
  session.say(`These notes are ${heard.runnerUp} from the next time on.`);
}

async function writeChart(session: PlaySession, folder: string, from: number, to: number) {
  const chords = session.chords.slice(from, to + 1);
  const written = await sendChart(folder, chords, session.setup.key, session.tune.chart);
  session.say(
    sentenceOf(written).replace(
      /^The chart is/u,
      `The chart of ${counted(chords.length, 'chord')} is`,
    ),
  );
}

async function compareChords(session: PlaySession, folder: string, from: number, to: number) {
  const presets = presetsToCompare(session.setup.preset, session.onStage);
  const chords = session.chords.slice(from, to + 1);
  const compared = comparisonOf(chords, session.setup.key, presets);
  if (!compared.ok) return session.say(compared.problem);
  const bytes = new TextEncoder().encode(compared.value);
  // Apart from the charts, among which it would be listed and be none.
  const place = join(folder, 'compared');
  return session.say(sentenceOf(await writeInFolder(place, 'compared.txt', bytes, 'comparison')));
}

function writeTake(session: PlaySession, folder: string, from: number, to: number): void {
  const chords = session.chords.slice(from, to + 1);
  session.say(sendTake(folder, chords, describedBy(session)));
}

/** Asked once. */
const askScope =
  "Once more keeps it for its chord type on any root; 'a kept voicing holds for' on the set-up page: for the degree of the key, or only that chord.";

const handlers: Handlers = {
  choosePreset: ({ id, list, occurrence }, { library }) => library.choose(id, list, occurrence),
  nextPreset: (_, { session }) => session.stepPreset(1),
  previousPreset: (_, { session }) => session.stepPreset(-1),
  toggleSwitching: (_, { session }) => {
    const isAtOnce = session.memory.switching === 'at-once';
    session.remember({ ...session.memory, switching: isAtOnce ? 'next-chord' : 'at-once' });
    session.say(`A new preset takes hold ${isAtOnce ? 'at the next chord' : 'at once'}.`);
  },
  transposeKey: ({ semitones }, { session }) => session.setKey(movedKey(session.key, semitones)),
  toggleMajorMinor: (_, { session }) => session.setKey(turnedKey(session.key)),
  clearKey: (_, { session }) => session.setKey(undefined),
  followKey: (_, { session }) => {
    session.followKey();
    const isRehearsal = session.state.ports.length === 0;
    if (isRehearsal) {
      const key = formatKey(session.degreeKey);
      session.say(
        `Keys 1 to 7 stay in ${key}; following again (k) takes them to the key heard by then.`,
      );
    }
  },
  moveRegister: (intent, { session }) => moveEdge(session, intent),
  restoreRegisters: (_, { session }) => session.restoreRegisters(),
  choose: ({ turn, step }, { session }) => session.choose({ turn, by: step }),
  keepVoicing: async (_, { session }) => {
    const { keptFor } = session.memory;
    if (keptFor === undefined) {
      session.remember({ ...session.memory, keptFor: 'type' });
      session.say(askScope);
      return;
    }
    const sentence = sentenceOf(await session.keeping.keep(keptFor));
    if (sentence !== '') session.say(sentence);
  },
  latch: (_, { session }) => session.latch(),
  listen: (_, { session }) => session.listen(),
  takeShape: (_, { session }) => session.takeShape(),
  keepShape: ({ name }, { session }) => session.say(sentenceOf(session.keeping.keepShape(name))),
  learn: async ({ name, since }, { session }) => {
    session.say('Learning from what you played ...');
    const from = since === undefined ? undefined : since - readingMicroseconds;
    const learned = await session.onLearn(name, from);
    session.say(learned.ok ? learned.value : learned.problem);
  },
  movePlace: ({ move }, { session }) => session.say(session.tune.move(move)),
  reloadChart: async (_, { session }) => session.say(sentenceOf(await session.tune.reload())),
  lookForCharts: (_, { session }) => session.say(session.charts?.look() ?? ''),
  openChart: async ({ file }, { session }) =>
    session.say(sentenceOf((await session.charts?.open(file)) ?? refused(noTune))),
  closeChart: (_, { session }) =>
    session.say(sentenceOf(session.charts?.close() ?? refused(noTune))),
  toggleOneKey: (_, { session }) =>
    session.say(sentenceOf(session.tune.turnOneKey(session.state.snapshot.isOneKey !== true))),
  panic: (_, { session }) => session.panic(),
  quit: () => {},
  toggleSound: (_, { session }) => session.sound.toggle(),
  stepSoundLevel: ({ step }, { session }) => session.sound.stepLevel(step),
  toggleRecording: (_, { session }) => session.say(sentenceOf(session.tape.toggle())),
  keepLast: (_, { session }) => session.say(sentenceOf(session.tape.keep())),
  playDegree: ({ degree }, { session }) => session.rehearsal.playDegree(degree),
  releaseDegree: ({ degree }, { session }) => session.rehearsal.releaseDegree(degree),
  letGo: (_, { session }) => session.rehearsal.letGo(),
  playChord: ({ text }, { session }) => {
    const chord = writtenChord(text);
    if (chord.ok) session.rehearsal.playNotes(chord.notes, chord.symbol);
    else session.say(chord.problem);
  },
  toggleDemo: ({ tune = 'chords' }, { session }) => {
    const isOn = session.rehearsal.isDemoPlaying(tune);
    if (isOn) session.rehearsal.stopDemo();
    else session.rehearsal.startDemo(undefined, tune);
  },
  stepChordType: ({ step }, { session }) => session.rehearsal.stepChordType(step),
  stepInversion: ({ step }, { session }) => session.rehearsal.stepInversion(step),
  audition: ({ id, row }, { library }) => library.auditions.play(id, row),
  toggleFavourite: ({ id }, { library }) => library.setlists.favour(id),
  copyPreset: ({ id, name }, { library }) => library.copy(id, name),
  editPreset: ({ id }, { library }) => library.editing.open(id),
  savePreset: (_, { library }) => library.editing.save(),
  undoEdit: (_, { library }) => library.editing.undo(),
  stopEditing: (_, { library }) => library.editing.stop(),
  closeEditor: async ({ isSaved, isQuitting }, { library }, _, onQuit) => {
    if ((await library.editing.close(isSaved)) && isQuitting) onQuit();
  },
  newSetlist: ({ name, id }, { library }) => library.setlists.begin(name, id),
  addToSetlist: ({ list, id }, { library }) => library.setlists.add(list, id),
  takeFromSetlist: ({ list, id, occurrence }, { library }) =>
    library.setlists.takeOut(list, id, occurrence),
  moveInSetlist: ({ list, id, step, occurrence }, { library }) =>
    library.setlists.move(list, id, step, occurrence),
  stepRow: ({ form, id, step }, { library, setUp }) =>
    form === 'preset'
      ? library.editing.change((editor) => editor.step(id, step))
      : setUp.step(id, step),
  typeRow: ({ form, id, text }, { library, setUp }) =>
    form === 'preset'
      ? library.editing.change((editor) => editor.type(id, text))
      : setUp.type(id, text),
  clearRow: ({ form, id }, { library, setUp }) =>
    form === 'preset' ? library.editing.change((editor) => editor.clear(id)) : setUp.clear(id),
  learnRow: ({ id }, { setUp }) => setUp.learn(id),
  stopLearning: (_, { setUp }) => setUp.stopLearning(),
  lookForPorts: (_, { setUp }) => setUp.lookForPorts(),
  pinReading: ({ place }, { session }) => pinReading(session, place),
  writeChart: ({ from, to }, { session }, { charts }) => writeChart(session, charts, from, to),
  compareChords: ({ from, to }, { session }, { charts }) =>
    compareChords(session, charts, from, to),
  writeTake: ({ from, to }, { session }, { takes }) => writeTake(session, takes, from, to),
};

/** Those that are played: a message goes on standing through them. */
const played: ReadonlySet<Intent['type']> = new Set([
  'playDegree',
  'releaseDegree',
  'letGo',
  'playChord',
]);

/** Does it; what takes time answers later by a sentence on the screen. */
export function act(
  intent: Intent,
  parts: ScreenParts,
  folders: Folders,
  onQuit: () => void = () => {},
): void {
  if (intent.type === 'quit') {
    onQuit();
    return;
  }
  if (!played.has(intent.type)) parts.session.say('');
  // Each handler takes exactly the intents of its own name.
  const handler = handlers[intent.type] as (
    intent: Intent,
    parts: ScreenParts,
    folders: Folders,
    onQuit: () => void,
  ) => void | Promise<void>;
  Promise.resolve(handler(intent, parts, folders, onQuit)).catch((error: unknown) => {
    parts.session.say(errorText(error));
  });
}
