/** From a session to what is remembered of it, and to how a take of it begins. */

import type { Chart } from '../chart/chart.ts';
import { writeChart } from '../chart/write.ts';
import { given } from '../common/given.ts';
import type { PortWishes } from '../io/engine/worker-messages.ts';
import type { Settings } from '../io/files/settings.ts';
import type { Setup } from '../live/engine-api.ts';
import type { Described } from '../take/journal.ts';
import type { PlayValues } from './plan.ts';

export type Remembered = {
  readonly memory: Settings;
  readonly setup: Setup;
  /** Undefined in rehearsal: the ports of the time before stay remembered. */
  readonly ports: PortWishes | undefined;
  readonly key: string | undefined;
  /** The first steps have been gone through. */
  readonly hasPlayed: boolean;
};

export function settingsOf({ memory, setup, ports, key, hasPlayed }: Remembered): Settings {
  const { key: _, upper: __, bass: ___, preset: ____, ...rest } = memory;
  return {
    ...rest,
    preset: setup.preset.id,
    ...((rest.isGuided || hasPlayed) && { isGuided: true }),
    ...(ports !== undefined && { from: ports.from, to: ports.to }),
    ...given('key', key),
    ...given('upper', setup.upper),
    ...given('bass', setup.bass),
  };
}

/** What a plan may leave out of what is remembered, because it is of no use any more. */
const tidied = ['preset', 'upper', 'bass', 'key', 'setlist', 'controls', 'keys'] as const;

/**
 * What the settings of the end are compared with: only what became another is remembered. The words
 * of the command line hold for one run, and a keyboard that is not plugged in today is no change;
 * what is of no use any more goes.
 * @param start the settings as the session begins.
 * @param loaded what was remembered before.
 */
export function beginningOf(start: Settings, loaded: Settings, values: PlayValues): Settings {
  const asked = namesAskedFor(values);
  const kept = tidied.filter((name) => !asked.includes(name) && loaded[name] !== undefined);
  return { ...start, ...Object.fromEntries(kept.map((name) => [name, loaded[name]])) };
}

function namesAskedFor(values: PlayValues): readonly (keyof Settings)[] {
  const { preset, setlist, register, key, 'bass-register': bass } = values;
  const isPresetAsked = [preset, setlist, register, bass].some((each) => each !== undefined);
  return [
    ...(isPresetAsked ? (['preset', 'upper', 'bass'] as const) : []),
    ...(key === undefined ? [] : (['key'] as const)),
    ...(setlist === undefined ? [] : (['setlist'] as const)),
    ...(values['program-change'] === undefined ? [] : (['controls'] as const)),
  ];
}

/** @param tune whose chart goes with the take: with it the take knows its bars. */
export function describedBy({
  memory,
  setup,
  tune,
}: Pick<Remembered, 'memory' | 'setup'> & {
  readonly tune: { readonly chart?: Chart | undefined };
}): Described {
  return {
    preset: setup.preset.id,
    key: setup.key ?? '',
    ...given('metre', memory.metre),
    ...given('chart', tune.chart && textOf(tune.chart)),
  };
}

/** Written once: it is asked for with every chord. */
const texts = new WeakMap<Chart, string>();

function textOf(chart: Chart): string {
  const text = texts.get(chart) ?? writeChart(chart);
  texts.set(chart, text);
  return text;
}
