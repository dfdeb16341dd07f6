/** Playing with the screen: intents in, session calls out. */
import { divertStandardError } from '../io/quiet-stderr.ts';
import { moveRegister } from '../ui/register-move.ts';
import type { Intent, StageModel } from '../ui/stage-model.ts';
import type { PlaySession } from './play-session.ts';

export type ScreenWords = {
  /** A sentence for the player, or ''. */
  readonly message: string;
  readonly recording?: string;
};

function modelOf(session: PlaySession, words: ScreenWords): StageModel {
  const { state, presets } = session;
  return {
    state,
    presets,
    mode: state.ports.length === 0 ? 'rehearsal' : 'ports',
    isDemoPlaying: session.isDemoPlaying,
    ...words,
  };
}

/** What each intent does; 'quit' is the caller's. */
export function act(intent: Intent, session: PlaySession): void {
  switch (intent.type) {
    case 'choosePreset': {
      const preset = session.presets.find((each) => each.id === intent.id);
      if (preset !== undefined) session.choosePreset(preset);
      return;
    }
    case 'nextPreset':
      session.stepPreset(1);
      return;
    case 'previousPreset':
      session.stepPreset(-1);
      return;
    case 'transposeKey':
      session.transposeKey(intent.semitones);
      return;
    case 'toggleMajorMinor':
      session.toggleMajorMinor();
      return;
    case 'clearKey':
      session.setKey(undefined);
      return;
    case 'moveRegister': {
      const { register, edge, semitones } = intent;
      const { preset } = session.setup;
      const present = session.setup[register] ?? preset[register];
      const { lowest, highest } = present;
      session.setRegister(register, moveRegister({ lowest, highest }, edge, semitones));
      return;
    }
    case 'playDegree':
      session.playDegree(intent.degree);
      return;
    case 'letGo':
      session.letGo();
      return;
    case 'toggleDemo':
      if (session.isDemoPlaying) session.stopDemo();
      else session.startDemo();
      return;
    case 'panic':
      session.panic();
      return;
    case 'quit':
      return;
  }
}

export type OpenScreen = { readonly close: () => void };

/** Draws until `close`; `onQuit` when the player wants to leave, `onBroken` when drawing failed. */
export async function openScreen(
  session: PlaySession,
  words: ScreenWords,
  onQuit: () => void,
  onBroken: (error: unknown) => void,
): Promise<OpenScreen> {
  const { renderStage } = await import('../ui/render-stage.tsx');
  const giveBack = divertStandardError();
  const stage = renderStage({
    subscribe: (onChange) => session.subscribe(onChange),
    getModel: () => modelOf(session, words),
    onIntent: (intent) => (intent.type === 'quit' ? onQuit() : act(intent, session)),
  });
  stage.waitUntilExit().catch(onBroken);
  return {
    close() {
      stage.unmount();
      giveBack();
    },
  };
}
