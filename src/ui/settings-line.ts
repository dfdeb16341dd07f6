/** Key and registers in one line; what the arrows move stands between points. */
import type { Range } from '../live/snapshot.ts';
import { type Look, signsOf } from './look.ts';
import { noteName } from './note-name.ts';
import type { RegisterEdge, RegisterName, StageModel } from './stage-model.ts';
import { type Span, withAccidentals } from './text.ts';
import type { InHand } from './view.ts';

/** The points stand at the end that moves; at both when the whole moves. */
function pointed(look: Look, text: string, edge: RegisterEdge | undefined): readonly Span[] {
  const signs = signsOf(look);
  const before = edge === 'both' || edge === 'lowest' ? signs.pointRight : ' ';
  const after = edge === 'both' || edge === 'highest' ? signs.pointLeft : ' ';
  return [{ text: `${before}${text}${after}`, tone: edge ? 'strong' : 'plain' }];
}

function edgeInHand(inHand: InHand, register: RegisterName): RegisterEdge | undefined {
  return inHand.type === 'register' && inHand.register === register ? inHand.edge : undefined;
}

function rangeText(look: Look, range: Range): string {
  const [low, high] = [noteName(range.lowest), noteName(range.highest)];
  return withAccidentals(look, `${low} ${signsOf(look).dash} ${high}`);
}

export function settingSpans(look: Look, model: StageModel, inHand: InHand): readonly Span[] {
  const { key, upper, bass } = model.state.snapshot;
  const heard = model.isKeyFollowed ? ', followed' : '';
  const keyText = `${withAccidentals(look, key || 'none')}${heard}`;
  const isMoved = (register: RegisterName) => model.moved?.includes(register) === true;
  return [
    { text: 'key', tone: 'quiet' },
    ...pointed(look, keyText, inHand.type === 'key' ? 'both' : undefined),
    { text: `  voices${isMoved('upper') ? ' moved' : ''}`, tone: 'quiet' },
    ...pointed(look, rangeText(look, upper), edgeInHand(inHand, 'upper')),
    { text: `  bass${isMoved('bass') ? ' moved' : ''}`, tone: 'quiet' },
    ...pointed(look, rangeText(look, bass), edgeInHand(inHand, 'bass')),
    { text: model.isSwitchingAtOnce ? '  presets change at once' : '' },
  ];
}
