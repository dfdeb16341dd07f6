/** The screen's frame for one moment and size, as ink-testing-library draws it. */
import { stripVTControlCharacters } from 'node:util';
import { Text } from 'ink';
import { render } from 'ink-testing-library';
import type { ReactElement } from 'react';
import { afterEach } from 'vitest';
import type { Size } from '../../src/ui/frame/layout.ts';
import { LookContext } from '../../src/ui/frame/words.tsx';
import type { Look } from '../../src/ui/look.ts';
import { Screen, type ScreenProps } from '../../src/ui/screen.tsx';
import { openingView } from '../../src/ui/view.ts';
import { modelOf } from './fixtures.ts';

const look: Look = { hasColour: false, hasUnicode: true };

const opened: ReturnType<typeof render>[] = [];
afterEach(() => {
  for (const app of opened.splice(0)) app.unmount();
});

/** A component by itself, as lines; the terminal is as wide as asked. */
export function drawn(node: ReactElement, as: Look = look, columns = 100): readonly string[] {
  const app = render(<Text> </Text>);
  opened.push(app);
  Object.defineProperty(app.stdout, 'columns', { value: columns });
  app.rerender(<LookContext.Provider value={as}>{node}</LookContext.Provider>);
  return stripVTControlCharacters(app.lastFrame() ?? '').split('\n');
}

/** The frame at a size; the library's terminal is 100 columns wide unless told. */
export function frame(props: Partial<ScreenProps> & { readonly size: Size }): string {
  const app = render(<Text> </Text>);
  opened.push(app);
  Object.defineProperty(app.stdout, 'columns', { value: props.size.columns });
  const screen = { look, model: modelOf(), view: openingView, ...props };
  app.rerender(<Screen {...screen} />);
  // What stands there; how it is styled is look.ts's affair and tested there.
  return stripVTControlCharacters(app.lastFrame() ?? '');
}
