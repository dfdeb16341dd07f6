/** Keys of the page of charts. */
import { chartAtCursor, chartPlace, chartsOf } from '../charts/chart-list.ts';
import { type KeyAction, type KeyRow, type Struck, viewAction } from './key-row.ts';

function pointAt({ view, model }: Struck, step: number): KeyAction {
  const { files } = chartsOf(model);
  const place = Math.min(files.length - 1, Math.max(0, chartPlace(model, view) + step));
  return viewAction({ type: 'pointAtChart', file: files[place] });
}

const page = { pages: ['charts'] } as const;

export const chartKeys: readonly KeyRow[] = [
  {
    ...page,
    id: 'point-at-chart',
    strokes: ['up', 'down', 'pageup', 'pagedown'],
    isPair: true,
    brief: 'point',
    short: 'chart before, after',
    help: 'point at the chart before, the chart after (Page keys: by eight)',
    act: (struck) => pointAt(struck, [-1, 1, -8, 8][struck.which] ?? 0),
  },
  {
    ...page,
    id: 'open-chart',
    strokes: ['return'],
    brief: 'open',
    short: 'open: on the stage',
    help: 'open it: it is the tune on the stage from now on, from its top',
    act: ({ model, view }) => {
      const file = chartAtCursor(model, view);
      return file === undefined ? undefined : { type: 'openChart', file };
    },
  },
  {
    ...page,
    id: 'close-chart',
    strokes: ['x'],
    brief: 'close',
    short: 'close: no tune',
    help: 'close the one that is open: no tune is on the stage then',
    isOffered: ({ tune }) => tune !== undefined,
    otherwise: 'No chart is open.',
    act: ({ model }) => (model.tune === undefined ? undefined : { type: 'closeChart' }),
  },
];
