/** From a session to what is remembered of it, and to how a take of it begins. */
import type { Settings } from '../io/settings.ts';
import type { PortWishes } from '../io/worker-messages.ts';
import type { Setup } from '../live/engine-api.ts';
import type { Described } from '../take/journal.ts';
import { given } from './play-options.ts';

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

export function describedBy({ memory, setup }: Pick<Remembered, 'memory' | 'setup'>): Described {
  return { preset: setup.preset.id, key: setup.key ?? '', ...given('metre', memory.metre) };
}
