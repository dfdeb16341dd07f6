/** Key and registers in one line; what the arrows move stands between points. */

import type { Range } from '../../live/snapshot.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { noteName } from '../note-name.ts';
import type { RegisterEdge, RegisterName, StageModel } from '../stage-model.ts';
import type { InHand } from '../view.ts';

function edgeInHand(inHand: InHand, register: RegisterName): RegisterEdge | undefined {
  return inHand.type === 'register' && inHand.register === register ? inHand.edge : undefined;
}

export function rangeText({ lowest, highest }: Range): string {
  return music(`${noteName(lowest)}–${noteName(highest)}`);
}

/** The points stand at the end that moves; at both when the whole moves. */
function Pointed({
  text,
  edge,
}: {
  readonly text: string;
  readonly edge: RegisterEdge | undefined;
}) {
  const before = edge === 'both' || edge === 'lowest' ? '▸' : ' ';
  const after = edge === 'both' || edge === 'highest' ? '◂' : ' ';
  return <Run tone={edge ? 'strong' : 'plain'}>{`${before}${text}${after}`}</Run>;
}

type SettingsProps = {
  readonly model: StageModel;
  readonly inHand: InHand;
  readonly width: number;
};

export function SettingsLine({ model, inHand, width }: SettingsProps) {
  const { key, upper, bass } = model.state.snapshot;
  const followed = model.isKeyFollowed && width >= 76 ? ', followed' : '';
  const short = key.replace(/ major$/, '').replace(/ minor$/, 'm');
  const keyText = width >= 56 ? `${music(key || 'none')}${followed}` : music(short || '–');
  const moved = (register: RegisterName) =>
    model.moved?.includes(register) === true && width >= 76 ? ' moved' : '';
  const gap = width >= 56 ? '  ' : '';
  const atOnce = model.isSwitchingAtOnce && width >= 90 ? '  presets change at once' : '';
  return (
    <Words>
      <Run tone="quiet">key</Run>
      <Pointed text={keyText} edge={inHand.type === 'key' ? 'both' : undefined} />
      <Run tone="quiet">{`${gap}voices${moved('upper')}`}</Run>
      <Pointed text={rangeText(upper)} edge={edgeInHand(inHand, 'upper')} />
      <Run tone="quiet">{`${gap}bass${moved('bass')}`}</Run>
      <Pointed text={rangeText(bass)} edge={edgeInHand(inHand, 'bass')} />
      <Run>{atOnce}</Run>
    </Words>
  );
}
