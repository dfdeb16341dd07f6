/** Charts given out to players, for tests. */
import { parseChart } from '../../src/chart/parse.ts';
import { type ToldParts, toldParts } from '../../src/chart/parts/part-report.ts';
import { partsOfChart } from '../../src/chart/parts/parts.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { parseEnsemble } from '../../src/ensemble/ensemble.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { isBassLeft, presetForPlayers } from '../../src/presets/for-players.ts';
import { plainPresets } from '../../src/presets/plain-presets.ts';
import type { StrategyId } from '../../src/voicing/voicing.ts';
import { shippedPreset } from '../live/play.ts';

export const plainManner = { areUnisonsAllowed: false, areCrossingsAllowed: false };

export type PlayersWish = {
  readonly strategy?: StrategyId;
  /** Absent: the chart's own, or E flat. */
  readonly key?: string;
  readonly manner?: typeof plainManner;
};

/** The chart given out to the players, as the command does it. */
export function toldFor(text: string, players: string, wish: PlayersWish = {}): ToldParts {
  const { strategy = 'drop-2', manner = plainManner } = wish;
  const chart = parseChart(text);
  const ensemble = parseEnsemble(players);
  const key = wish.key ?? (chart.ok && chart.value.key === undefined ? 'Eb' : undefined);
  const parsed = parseKey(key ?? 'C');
  if (!chart.ok || !ensemble.ok || !parsed.ok) throw new Error(`${text}, ${players}, ${key}`);
  const own = shippedPreset(plainPresets[strategy]);
  const asked = { areVoices: false, isBass: false, upper: undefined };
  const preset = presetForPlayers(own, ensemble.value, asked);
  const setup = { preset, key: key === undefined ? chart.value.key : parsed.value, registers: {} };
  const voiced = voiceChart(chart.value, setup);
  return toldParts(voiced, partsOfChart(voiced, ensemble.value, manner), isBassLeft(own, preset));
}
