/** The page as Ink draws it; keys are read from before the first of it is shown. */
import { type Instance, render, useInput } from 'ink';
import { useEffect } from 'react';
import { Screen, type ScreenProps, SpokenScreen } from '../screen.tsx';
import type { OnKey } from './shown-moment.ts';

export type InkPage = {
  /** Undefined: an empty page, after which everything is drawn anew. */
  readonly show: (moment: ScreenProps | undefined) => void;
  readonly unmount: () => void;
  readonly exited: Promise<void>;
  /** From now on it may be drawn. */
  readonly begin: () => void;
};

type PageOptions = {
  readonly stdout: NodeJS.WriteStream;
  /** Absent: process.stdin. */
  readonly stdin: NodeJS.ReadStream | undefined;
  readonly isSpoken: boolean;
  readonly onKey: OnKey;
  /** Keys are read, and `begin` has been called. */
  readonly onReady: () => void;
};

type AppProps = {
  readonly moment: ScreenProps | undefined;
  readonly onKey: OnKey;
  readonly isSpoken: boolean;
  readonly onReady: () => void;
};

function App({ moment, onKey, isSpoken, onReady }: AppProps) {
  useInput(onKey);
  // Effects run in their order: nothing is shown before keys are read.
  useEffect(onReady, [onReady]);
  if (moment === undefined) return null;
  return isSpoken ? <SpokenScreen {...moment} /> : <Screen {...moment} />;
}

export function openInkPage({ stdout, stdin, isSpoken, onKey, onReady }: PageOptions): InkPage {
  // React may run the effect before Ink has given itself to us.
  let isReady = false;
  let hasBegun = false;
  const ready = () => {
    isReady = true;
    if (hasBegun) onReady();
  };
  const pageOf = (moment: ScreenProps | undefined) => (
    <App moment={moment} onKey={onKey} isSpoken={isSpoken} onReady={ready} />
  );
  const options = {
    stdout,
    // Whole pages of sentences go to the teller.
    debug: isSpoken,
    incrementalRendering: true,
    // Drawings are paced here.
    maxFps: 0,
    exitOnCtrlC: false,
    patchConsole: false,
    isScreenReaderEnabled: isSpoken,
  };
  const ink: Instance = render(pageOf(undefined), stdin ? { ...options, stdin } : options);
  return {
    show: (moment) => ink.rerender(pageOf(moment)),
    unmount: () => ink.unmount(),
    exited: ink.waitUntilExit().then(() => {}),
    begin() {
      hasBegun = true;
      if (isReady) onReady();
    },
  };
}
