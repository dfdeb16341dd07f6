/**
 * What the screen is given and what it may ask for. Plain data both ways: the screen draws a
 * StageModel and answers keystrokes with Intents; it never touches a port, a preset file or a note.
 *
 * What belongs to the screen alone (the page, help open or not, cursors) is not here: see view.ts.
 */
import type { StageState } from '../io/engine/stage-state.ts';
import type { ChordReport, Range, TakenShape, Turn } from '../live/snapshot.ts';
import type { PlaceMove } from '../tune/moved-place.ts';
import type { Tune } from '../tune/tune.ts';
import type { ChartsShown } from './charts/charts-shown.ts';
import type { FormRow } from './form-row.ts';
import type { Typing } from './typing.ts';

/** A preset as the lists show it. */
export type PresetLine = {
  readonly id: string;
  readonly name: string;
  readonly about: string;
  /** A file of the player's own, which may be changed; absent: it came with Handspan. */
  readonly isOwn?: boolean;
  readonly isFavourite?: boolean;
  /** What it is listed under: 'fourths'; absent: under nothing. */
  readonly family?: string;
};

/** A list of presets that can be put on stage: everything, the favourites, or a setlist. */
export type PresetList = {
  /** '' for everything. */
  readonly name: string;
  /** In words, for the heading. */
  readonly title: string;
  readonly ids: readonly string[];
  /** Its order is the player's. */
  readonly isSetlist: boolean;
};

export type Rehearsal = {
  /** The key the degrees are of: 'Db major'. */
  readonly key: string;
  /** 'triads', 'dominant seventh' … */
  readonly chordType: string;
  /** 'root position', '1st inversion' … */
  readonly inversion: string;
};

/** The three first steps of somebody new. */
export type Guidance = {
  readonly isConnected: boolean;
  readonly isChosen: boolean;
  readonly isPlayed: boolean;
};

export type StageModel = {
  readonly state: StageState;
  /** Those on stage, in the order they are stepped through. The current one is `state.snapshot.preset`. */
  readonly presets: readonly PresetLine[];
  /** The tune on the stage; where the player is stands in `state.snapshot.tune`. */
  readonly tune?: Tune;
  /** Those that can be opened; absent: none can. */
  readonly charts?: ChartsShown;
  /** 'rehearsal': no ports, the computer keyboard plays. */
  readonly mode: 'ports' | 'rehearsal';
  /** One sentence for the player, or ''. The state's own `notice` is shown as well. */
  readonly message: string;
  /** How long a take has been recorded; absent while none is. */
  readonly recordedSeconds?: number;
  /** Name of the file the whole session will be written to. */
  readonly recording?: string;
  /** Rehearsal only: the built-in demo is playing. */
  readonly isDemoPlaying?: boolean;
  /** Symbols of the chords to come, the next one first, as far as they are known. */
  readonly coming?: readonly string[];
  /** The built-in sound; its level in decibels, 0 being that of files. */
  readonly sound?: { readonly isOn: boolean; readonly level: number };
  /** Every preset there is; absent: those on stage. */
  readonly allPresets?: readonly PresetLine[];
  /** What can be put on stage; the first is everything. */
  readonly lists?: readonly PresetList[];
  /** Name of the list on stage, '' for everything. */
  readonly listOnStage?: string;
  /** All chords of the session, oldest first; absent: those of the snapshot. */
  readonly history?: readonly ChordReport[];
  /**
   * What a chord is in a key: its numeral, 'ii7' or 'V', and its role; '' for either unknown. The
   * key it was read in, so that chords before are not renamed; or another one.
   */
  readonly functionOf?: (
    chord: ChordReport,
    key?: string,
  ) => { readonly numeral: string; readonly role: string };
  /** Whether the player has asked for a reading of these notes. */
  readonly isPinned?: (chord: ChordReport) => boolean;
  /** What a preset would make of the last chord; undefined while none was played. */
  readonly previewOf?: (id: string) => ChordReport | undefined;
  /** What a preset sets itself, in the rows of its editor. */
  readonly settingsOf?: (id: string) => readonly FormRow[];
  /** The registers a preset would sound in. */
  readonly registersOf?: (
    id: string,
  ) => { readonly upper: Range; readonly bass: Range } | undefined;
  /** The preset being edited, field by field. */
  readonly editor?: {
    readonly title: string;
    readonly rows: readonly FormRow[];
    readonly isChanged: boolean;
    /** Why it cannot be saved as it is; absent when it can. */
    readonly problem?: string;
  };
  /** What is wrong with a text that was typed, in one sentence; '' when it can be taken. */
  readonly problemOfText?: (typing: Typing) => string;
  /** The rows of the set-up page; asked for only while it is shown. */
  readonly getSetUp?: () => readonly FormRow[];
  readonly rehearsal?: Rehearsal;
  /** Taken from the hands, and waiting for a name. */
  readonly takenShape?: TakenShape;
  /** The key is heard from what is played. */
  readonly isKeyFollowed?: boolean;
  /** Registers that are not the preset's own. */
  readonly moved?: readonly RegisterName[];
  readonly isSwitchingAtOnce?: boolean;
  /** Absent once it has been gone through. */
  readonly guidance?: Guidance;
  /** Keys the player has changed, by the id of what they do. */
  readonly bindings?: { readonly [action: string]: readonly string[] };
};

export type ScaleDegree = 1 | 2 | 3 | 4 | 5 | 6 | 7;
export type Semitone = 1 | -1;
/** The register of the voices above the bass, or of the bass. */
export type RegisterName = 'upper' | 'bass';
/** Which end of a register moves; 'both' carries it as a whole. */
export type RegisterEdge = 'both' | 'lowest' | 'highest';
export type FormName = 'preset' | 'set-up';

export type Intent =
  /** `occurrence`: which one of it in the list, 0 for the first; absent: the next to come. */
  | {
      readonly type: 'choosePreset';
      readonly id: string;
      readonly list?: string;
      readonly occurrence?: number;
    }
  | { readonly type: 'nextPreset' }
  | { readonly type: 'previousPreset' }
  | { readonly type: 'toggleSwitching' }
  | { readonly type: 'transposeKey'; readonly semitones: Semitone }
  | { readonly type: 'toggleMajorMinor' }
  | { readonly type: 'clearKey' }
  /** The key is heard from what is played from now on. */
  | { readonly type: 'followKey' }
  | {
      readonly type: 'moveRegister';
      readonly register: RegisterName;
      readonly edge: RegisterEdge;
      readonly semitones: Semitone;
    }
  /** Both registers as the preset has them. */
  | { readonly type: 'restoreRegisters' }
  /** Another voicing, bass, technique, lead or number of voices for the last chord. */
  | { readonly type: 'choose'; readonly turn: Turn; readonly step: 1 | -1 }
  /** Keeps the voicing of the last chord, as far as the set-up page says. */
  | { readonly type: 'keepVoicing' }
  /** What sounds stays until the next chord, or no longer does. */
  | { readonly type: 'latch' }
  /** Nothing is revoiced, and what is played is named; or no longer. */
  | { readonly type: 'listen' }
  /** The next grip is taken as a shape; a preset is made of the one that was taken. */
  | { readonly type: 'takeShape' }
  | { readonly type: 'keepShape'; readonly name: string }
  /** Makes a preset of what was just played by hand; `since`: from a marked chord on, when it came. */
  | { readonly type: 'learn'; readonly name: string; readonly since?: number }
  /** Where in the tune the next chord is. */
  | { readonly type: 'movePlace'; readonly move: PlaceMove }
  /** The tune's chart is read anew, and played from here. */
  | { readonly type: 'reloadChart' }
  /** Which charts there are is read anew; one of them comes on the stage; the one there leaves it. */
  | { readonly type: 'lookForCharts' }
  | { readonly type: 'openChart'; readonly file: string }
  | { readonly type: 'closeChart' }
  /** Any key plays the tune's next chord, or no longer does. */
  | { readonly type: 'toggleOneKey' }
  | { readonly type: 'panic' }
  | { readonly type: 'quit' }
  /** Begins a take, or ends it. */
  | { readonly type: 'toggleRecording' }
  /** Makes a take of the last minutes, which are always kept. */
  | { readonly type: 'keepLast' }
  /** The built-in sound on or off; louder or softer. */
  | { readonly type: 'toggleSound' }
  | { readonly type: 'stepSoundLevel'; readonly step: 1 | -1 }
  // Rehearsal only:
  | { readonly type: 'playDegree'; readonly degree: ScaleDegree }
  /** The key of a degree came up; only terminals that tell so send it. */
  | { readonly type: 'releaseDegree'; readonly degree: ScaleDegree }
  | { readonly type: 'letGo' }
  /** As it is written: 'Eb7/G'. */
  | { readonly type: 'playChord'; readonly text: string }
  /** Absent: the tune in blocks. */
  | { readonly type: 'toggleDemo'; readonly tune?: 'chords' | 'two hands' }
  /** What the next degree is played as; nothing sounds yet. */
  | { readonly type: 'stepChordType'; readonly step: 1 | -1 }
  | { readonly type: 'stepInversion'; readonly step: 1 | -1 }
  // Presets:
  /** `row`: where the editor's cursor is; a kept voicing is heard on its own. */
  | { readonly type: 'audition'; readonly id: string; readonly row?: string }
  | { readonly type: 'toggleFavourite'; readonly id: string }
  | { readonly type: 'copyPreset'; readonly id: string; readonly name: string }
  | { readonly type: 'editPreset'; readonly id: string }
  | { readonly type: 'savePreset' }
  | { readonly type: 'undoEdit' }
  | { readonly type: 'stopEditing' }
  /** The editor closes with its changes saved or dropped; then the program may end. */
  | { readonly type: 'closeEditor'; readonly isSaved: boolean; readonly isQuitting: boolean }
  | { readonly type: 'newSetlist'; readonly name: string; readonly id: string }
  | { readonly type: 'addToSetlist'; readonly list: string; readonly id: string }
  | {
      readonly type: 'takeFromSetlist';
      readonly list: string;
      readonly id: string;
      readonly occurrence: number;
    }
  | {
      readonly type: 'moveInSetlist';
      readonly list: string;
      readonly id: string;
      readonly occurrence: number;
      readonly step: 1 | -1;
    }
  // Forms:
  | {
      readonly type: 'stepRow';
      readonly form: FormName;
      readonly id: string;
      readonly step: 1 | -1;
    }
  | {
      readonly type: 'typeRow';
      readonly form: FormName;
      readonly id: string;
      readonly text: string;
    }
  | { readonly type: 'clearRow'; readonly form: FormName; readonly id: string }
  | { readonly type: 'learnRow'; readonly id: string }
  | { readonly type: 'stopLearning' }
  | { readonly type: 'lookForPorts' }
  // Chords, by their place in the history:
  | { readonly type: 'pinReading'; readonly place: number }
  | { readonly type: 'writeChart'; readonly from: number; readonly to: number }
  | { readonly type: 'compareChords'; readonly from: number; readonly to: number }
  | { readonly type: 'writeTake'; readonly from: number; readonly to: number };
