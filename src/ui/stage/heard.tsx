/** What was heard, in one line: symbol, notes, other name; at the right what it is in the key. */
import { Box } from 'ink';
import type { ChordReport, Snapshot } from '../../live/snapshot.ts';
import { writtenAgainst } from '../against-written.ts';
import { guidanceHint } from '../first-hint.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { functionNow } from '../function-now.ts';
import type { StageModel } from '../stage-model.ts';

/** Keys that are held beside the chord, each with the part it plays: ' + B4 line'. */
function besideText({ held }: Snapshot, notes: ChordReport['heard']['notes']): string {
  return held
    .filter(
      ({ note, part = 'chord' }) => part !== 'chord' && !notes.some((each) => each.note === note),
    )
    .map(({ name, part = 'chord' }) => ` + ${music(name)} ${part}`)
    .join('');
}

/** Whoever plays must not forget that nothing is revoiced. */
function Ear({ isListening, width }: { readonly isListening: boolean; readonly width: number }) {
  if (isListening) return <Run tone="caution">{'listening '}</Run>;
  return <Run tone="quiet">{width >= 56 ? 'heard ' : ''}</Run>;
}

function HeardWords({ model, width }: { readonly model: StageModel; readonly width: number }) {
  const { snapshot } = model.state;
  const { heard, played } = snapshot.chords.at(-1) ?? {};
  if (heard === undefined) {
    const held = snapshot.held.map((note) => music(note.name)).join(' ');
    return (
      <Words>
        <Ear isListening={snapshot.isListening === true} width={0} />
        <Run tone="strong">{held || guidanceHint(model)}</Run>
      </Words>
    );
  }
  // What sounds, in large letters, is what was heard.
  const isPlayed = played !== undefined;
  const written = writtenAgainst(snapshot.chords.at(-1));
  const notes = heard.notes.map((note) => music(note.name)).join(' ');
  const other = heard.symbol
    ? heard.runnerUp && `or ${music(heard.runnerUp)}`
    : 'no chord by name: sent on as played';
  return (
    <Words>
      <Ear isListening={snapshot.isListening === true} width={width} />
      <Run tone="strong">{music(isPlayed ? '' : heard.symbol)}</Run>
      <Run tone="caution">{written === '' ? '' : ` not ${music(written)}`}</Run>
      <Run>{`${isPlayed ? '' : '  '}${notes}${besideText(snapshot, heard.notes)}`}</Run>
      <Run tone="quiet">{other && `  ${other}`}</Run>
    </Words>
  );
}

/** What no key means, and how to set one. */
function noKeyText(isFollowed: boolean, width: number): string {
  if (isFollowed) return 'no key heard yet';
  if (width >= 80) return 'no key, so V is no dominant: k sets one';
  return width >= 56 ? 'no key: k sets one' : 'k: set a key';
}

/** The key, and the chord's function in it. */
function KeyWords({ model, width }: { readonly model: StageModel; readonly width: number }) {
  const { key, isKeyFollowed = false, chords } = model.state.snapshot;
  const last = chords.at(-1);
  const { numeral = '', role = '' } = (last && functionNow(model, last)) ?? {};
  if (key === '') return <Words tone="quiet">{noKeyText(isKeyFollowed, width)}</Words>;
  const isIn = `${numeral === '' ? '' : ' '}${isKeyFollowed ? 'heard ' : ''}in `;
  return (
    <Words>
      <Run tone="strong">{music(numeral)}</Run>
      <Run>{role !== '' && width >= 76 ? `, ${role}` : ''}</Run>
      {width >= 56 && <Run tone="quiet">{isIn}</Run>}
      {width >= 56 && <Run>{music(key)}</Run>}
    </Words>
  );
}

export function HeardLine({
  model,
  width,
}: {
  readonly model: StageModel;
  readonly width: number;
}) {
  return (
    <Box width={width} height={1} flexShrink={0} columnGap={2}>
      <Box flexGrow={1} flexShrink={1}>
        <HeardWords model={model} width={width} />
      </Box>
      <Box flexShrink={0}>
        <KeyWords model={model} width={width} />
      </Box>
    </Box>
  );
}
