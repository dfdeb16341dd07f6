/**
 * What the screen is given and what it may ask for. Plain data both ways: the screen draws a
 * StageModel and answers keystrokes with Intents; it never touches a port, a preset file or a note.
 *
 * What belongs to the screen alone (help open or not, which register the arrows move) is not here:
 * see view.ts.
 */
import type { StageState } from '../io/stage-state.ts';

/** A preset as the list shows it. */
export type PresetLine = { readonly id: string; readonly name: string; readonly about: string };

export type StageModel = {
  readonly state: StageState;
  /** In the order of the list. The current one is `state.snapshot.preset`, matched by id or name. */
  readonly presets: readonly PresetLine[];
  /** 'rehearsal': no ports, the computer keyboard plays. */
  readonly mode: 'ports' | 'rehearsal';
  /** One sentence for the player, or ''. The state's own `notice` is shown as well. */
  readonly message: string;
  /** File name of the recording in progress. */
  readonly recording?: string;
  /** Rehearsal only: the built-in demo is playing. */
  readonly isDemoPlaying?: boolean;
};

export type ScaleDegree = 1 | 2 | 3 | 4 | 5 | 6 | 7;
export type Semitone = 1 | -1;
/** The register of the voices above the bass, or of the bass. */
export type RegisterName = 'upper' | 'bass';
/** Which end of a register moves; 'both' carries it as a whole. */
export type RegisterEdge = 'both' | 'lowest' | 'highest';

export type Intent =
  | { readonly type: 'choosePreset'; readonly id: string }
  | { readonly type: 'nextPreset' }
  | { readonly type: 'previousPreset' }
  | { readonly type: 'transposeKey'; readonly semitones: Semitone }
  | { readonly type: 'toggleMajorMinor' }
  | { readonly type: 'clearKey' }
  | {
      readonly type: 'moveRegister';
      readonly register: RegisterName;
      readonly edge: RegisterEdge;
      readonly semitones: Semitone;
    }
  | { readonly type: 'panic' }
  | { readonly type: 'quit' }
  /** The three below come in rehearsal only. */
  | { readonly type: 'playDegree'; readonly degree: ScaleDegree }
  | { readonly type: 'letGo' }
  | { readonly type: 'toggleDemo' };
