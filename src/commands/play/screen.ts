/** Playing with the screen: intents in, session calls out. */

import { visible } from '../../cli/visible.ts';
import type { Folders } from '../../io/files/folders.ts';
import type { PresetEntry } from '../../io/files/preset-files.ts';
import { divertStandardError } from '../../io/ports/quiet-stderr.ts';
import { act } from '../../session/intents.ts';
import { Library } from '../../session/presets/preset-library.ts';
import { createScreenModel, type ScreenWords } from '../../session/screen-model.ts';
import type { PlaySession } from '../../session/session.ts';
import { SetUp, type SetUpSurroundings } from '../../session/set-up/set-up.ts';
import { sayInTurn } from '../../session/start-notices.ts';
import { detectLook } from '../../ui/look.ts';
import { learnPlayed } from './learn-played.ts';

export type { ScreenWords } from '../../session/screen-model.ts';

export type OpenScreen = { readonly close: () => void };

export type ScreenOptions = SetUpSurroundings & {
  readonly session: PlaySession;
  readonly entries: readonly PresetEntry[];
  readonly folders: Folders;
  readonly words: ScreenWords;
  /** Sentences for a screen reader instead of a drawn page. */
  readonly isSpoken: boolean;
  readonly onQuit: () => void;
  /** Drawing failed. */
  readonly onBroken: (error: unknown) => void;
};

/** Draws until `close`. */
export async function openScreen(options: ScreenOptions): Promise<OpenScreen> {
  const { session, entries, folders, words, isSpoken, onQuit, onBroken } = options;
  const { renderStage } = await import('../../ui/render-stage.tsx');
  const giveBack = divertStandardError();
  const library = new Library(session, entries, folders.presets);
  session.onLearn = (name, since) => learnPlayed(session, library, name, since);
  const setUp = new SetUp(session, options);
  const parts = { session, library, setUp };
  const notices = [words.message, ...(words.notices ?? [])].filter((notice) => notice !== '');
  const stopNotices = sayInTurn(session, { notices, isSpoken });
  const detected = detectLook(process.env, process.platform);
  const stage = renderStage({
    subscribe: (onChange) => session.subscribe(onChange),
    getModel: createScreenModel(parts, words),
    getLook: () => {
      const { theme } = session.memory;
      return theme === undefined ? detected : { ...detected, theme };
    },
    isSpoken,
    onIntent: (intent) => act(intent, parts, folders, onQuit),
  });
  stage.waitUntilExit().catch(onBroken);
  return {
    close() {
      stopNotices();
      library.auditions.close();
      stage.unmount();
      giveBack();
      if (library.editing.editor?.isChanged === true) {
        const title = visible(library.editing.editor.title);
        process.stderr.write(`handspan: changes to '${title}' were not saved.\n`);
      }
    },
  };
}
