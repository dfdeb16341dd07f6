/** What the screen is shown of a session: one value made anew for each drawing. */
import { given } from '../common/given.ts';
import { formatKey, parseKey } from '../harmony/key/key.ts';
import { type FunctionName, functionName } from '../harmony/key/numeral.ts';
import { setOfNotes } from '../harmony/pitch/pitch-class-set.ts';
import { recognise } from '../harmony/recognition/recognise.ts';
import { formatChord } from '../harmony/symbol/symbol.ts';
import type { ChordReport } from '../live/snapshot.ts';
import type { PresetLine, StageModel } from '../ui/stage-model.ts';
import type { Typing } from '../ui/typing.ts';
import type { Library } from './presets/preset-library.ts';
import { presetNameProblem, takenNameProblem } from './presets/preset-name.ts';
import { writtenChord } from './rehearsal/written-chord.ts';
import type { PlaySession } from './session.ts';
import type { SetUp } from './set-up/set-up.ts';

export type ScreenParts = {
  readonly session: PlaySession;
  readonly library: Library;
  readonly setUp: SetUp;
};

export type ScreenWords = {
  /** A sentence for the player, or ''. */
  readonly message: string;
  /** More sentences, from before the session began. */
  readonly notices?: readonly string[];
  readonly recording?: string;
};

/** Numerals by symbol and key: the same few chords are asked for on every drawing. */
function createFunctionNames(): NonNullable<StageModel['functionOf']> {
  const known = new Map<string, FunctionName>();
  return ({ heard, key: readIn = '' }, keyName = readIn) => {
    const name = `${keyName} ${heard.symbol}`;
    const kept = known.get(name);
    if (kept !== undefined) return kept;
    const key = keyName === '' ? undefined : parseKey(keyName);
    const found = functionName(heard.symbol, key?.ok ? key.value : undefined);
    known.set(name, found);
    return found;
  };
}

function isPinned(session: PlaySession, { heard }: ChordReport): boolean {
  const notes = heard.notes.map((each) => each.note);
  const set = setOfNotes(notes);
  const bass = Math.min(...notes) % 12;
  return (
    session.setup.overrides?.some((override) => override.set === set && override.bass === bass) ??
    false
  );
}

/** What is refused while it is typed, so that it can be mended. */
function problemOfText(
  { purpose, target, text }: Typing,
  { session, library, setUp }: ScreenParts,
): string {
  if (purpose === 'copy' || purpose === 'shape')
    return text.trim() === '' ? '' : presetNameProblem(text.trim());
  // What was played is learned at once: a name that is taken is mended first.
  if (purpose === 'learn' && text.trim() !== '')
    return presetNameProblem(text.trim()) || takenNameProblem(text.trim(), session.presets);
  if (purpose === 'chord') {
    const chord = /^\d+$/.test(text) ? undefined : writtenChord(text);
    return chord?.ok === false ? chord.problem : '';
  }
  const { editor } = library.editing;
  const isField = purpose === 'row' && editor?.rows.some((row) => row.id === target) === true;
  if (isField) return editor.problemOf(target, text.trim());
  return purpose === 'row' ? setUp.problemOf(target, text.trim()) : '';
}

const registers = ['upper', 'bass'] as const;

/** What notes are called in a key, by itself: the same few are asked for on every drawing. */
function createChordNames() {
  const known = new Map<string, string>();
  return (notes: readonly number[], keyName: string): string => {
    const id = `${keyName} ${notes}`;
    const kept = known.get(id);
    if (kept !== undefined) return kept;
    const parsed = keyName === '' ? undefined : parseKey(keyName);
    const key = parsed?.ok ? parsed.value : undefined;
    const chord = recognise(notes, given('key', key));
    const name = chord === undefined ? '–' : formatChord(chord, key);
    known.set(id, name);
    return name;
  };
}

/** More are not shown anywhere. */
const mostComing = 16;

/** Of the tune on the stage, else of the performance that plays. */
function comingChords(
  session: PlaySession,
  nameOf: (notes: readonly number[], keyName: string) => string,
): readonly string[] {
  const { key, tune } = session.state.snapshot;
  const chords = session.tune.tune?.chords;
  if (chords !== undefined && tune !== undefined) {
    const from = tune.chord + (tune.isPlayed ? 1 : 0);
    return chords.slice(from, from + mostComing).map(({ symbol }) => symbol || '–');
  }
  return session.rehearsal
    .coming()
    .slice(0, mostComing)
    .map((notes) => nameOf(notes, key));
}

/** Returns the model for the moment it is asked. */
export function createScreenModel(
  { session, library, setUp }: ScreenParts,
  words: ScreenWords,
): () => StageModel {
  const functionOf = createFunctionNames();
  const nameOf = createChordNames();
  return () => {
    const { state, memory } = session;
    const allPresets = library.lines;
    const byId = new Map(allPresets.map((line) => [line.id, line]));
    const presets = session.onStage.flatMap((preset): PresetLine[] => {
      const line = byId.get(preset.id);
      return line === undefined ? [] : [line];
    });
    const { editor } = library.editing;
    const isRehearsal = state.ports.length === 0;
    const played = session.chords.length > 0;
    return {
      state,
      presets,
      ...given('tune', session.tune.tune),
      ...given('charts', session.charts?.shown),
      allPresets,
      lists: library.lists,
      listOnStage: memory.setlist ?? '',
      mode: isRehearsal ? 'rehearsal' : 'ports',
      message: session.message,
      ...given('recordedSeconds', session.tape.recordedSeconds),
      ...(words.recording !== undefined && { recording: words.recording }),
      isDemoPlaying: session.rehearsal.isDemoPlaying(),
      coming: comingChords(session, nameOf),
      sound: { isOn: session.sound.isOn(), level: session.sound.level() },
      history: session.chords,
      functionOf,
      isPinned: (chord) => isPinned(session, chord),
      previewOf: (id) => library.previewOf(id),
      settingsOf: (id) => library.settingsOf(id),
      registersOf: (id) => library.registersOf(id),
      ...(editor !== undefined && {
        editor: {
          title: editor.title,
          rows: editor.rows,
          isChanged: editor.isChanged,
          ...(editor.problem !== '' && { problem: editor.problem }),
        },
      }),
      problemOfText: (typing) => problemOfText(typing, { session, library, setUp }),
      getSetUp: () => setUp.rows,
      rehearsal: {
        key: formatKey(session.degreeKey),
        chordType: session.rehearsal.chordType(),
        inversion: session.rehearsal.inversion(),
      },
      ...given('takenShape', session.keeping.takenShape),
      isKeyFollowed: session.isKeyFollowed,
      moved: registers.filter((register) => session.setup[register] !== undefined),
      isSwitchingAtOnce: memory.switching === 'at-once',
      ...(memory.isGuided !== true && {
        guidance: {
          isConnected: isRehearsal || state.ports.some((port) => port.messages > 0),
          isChosen: session.hasChosen,
          isPlayed: played,
        },
      }),
      ...(memory.keys !== undefined && { bindings: memory.keys }),
    };
  };
}
