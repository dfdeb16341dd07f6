/** Key, registers and the built-in sound in one line; what the arrows move stands between points. */

import type { Range } from '../../live/snapshot.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { levelText } from '../level-text.ts';
import { noteName } from '../note-name.ts';
import type { RegisterEdge, RegisterName, StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
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

function keyTextOf({ state, isKeyFollowed }: StageModel, width: number): string {
  const { key } = state.snapshot;
  if (width >= 56) {
    return `${music(key || 'none')}${isKeyFollowed && width >= 76 ? ', followed' : ''}`;
  }
  return music(key.replace(/ major$/, '').replace(/ minor$/, 'm') || '–');
}

/** The level while it sounds, or while it is moved; where it could sound and does not, that. */
function soundText({ sound, mode }: StageModel, isInHand: boolean): string {
  if (sound === undefined) return '';
  if (sound.isOn || isInHand) return `${levelText(sound.level)}${sound.isOn ? '' : ' off'}`;
  return mode === 'rehearsal' ? 'off' : '';
}

const levelCaution = '  set monitors low';

/** Where there is room for one thing: that which is moved. */
function SoundInHand({ text, width }: { readonly text: string; readonly width: number }) {
  const hasCaution = widthOf(`sound ${text} ${levelCaution}`) <= width;
  return (
    <Words>
      <Run tone="quiet">sound</Run>
      <Pointed text={text} edge="both" />
      <Run tone="caution">{hasCaution ? levelCaution : ''}</Run>
    </Words>
  );
}

export function SettingsLine({ model, inHand, width }: SettingsProps) {
  const { upper, bass } = model.state.snapshot;
  const keyText = keyTextOf(model, width);
  const moved = (register: RegisterName) =>
    model.moved?.includes(register) === true && width >= 76 ? ' moved' : '';
  const gap = width >= 56 ? '  ' : '';
  const isLevelInHand = inHand.type === 'level';
  const level = soundText(model, isLevelInHand);
  if (isLevelInHand && width < 56) {
    return <SoundInHand text={level} width={width} />;
  }
  const widths = [
    `key ${keyText} ${gap}voices${moved('upper')} ${rangeText(upper)} `,
    `${gap}bass${moved('bass')} ${rangeText(bass)} ${gap}`,
  ];
  let room = width - widths.reduce((sum, text) => sum + widthOf(text), 0);
  const fits = (text: string): boolean => {
    if (text === '' || widthOf(text) > room) return false;
    room -= widthOf(text);
    return true;
  };
  const hasSound = fits(level === '' ? '' : `sound ${level} `);
  const hasCaution = isLevelInHand && hasSound && fits(levelCaution);
  const atOnce = '  presets change at once';
  return (
    <Words>
      <Run tone="quiet">key</Run>
      <Pointed text={keyText} edge={inHand.type === 'key' ? 'both' : undefined} />
      <Run tone="quiet">{`${gap}voices${moved('upper')}`}</Run>
      <Pointed text={rangeText(upper)} edge={edgeInHand(inHand, 'upper')} />
      <Run tone="quiet">{`${gap}bass${moved('bass')}`}</Run>
      <Pointed text={rangeText(bass)} edge={edgeInHand(inHand, 'bass')} />
      {hasSound && (
        <>
          <Run tone="quiet">{`${gap}sound`}</Run>
          <Pointed text={level} edge={isLevelInHand ? 'both' : undefined} />
        </>
      )}
      <Run tone="caution">{hasCaution ? levelCaution : ''}</Run>
      <Run>{model.isSwitchingAtOnce === true && fits(atOnce) ? atOnce : ''}</Run>
    </Words>
  );
}
