/** The voices without a staff: a list from the top, or one line. */
import { Box } from 'ink';
import { memo } from 'react';
import type { ChordReport } from '../../live/snapshot.ts';
import { sameContent } from '../frame/same-content.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { motionSign, motions } from '../motion.ts';
import { VoiceLabel, voiceTone } from './staff.tsx';

type VoicesProps = {
  readonly now: ChordReport | undefined;
  readonly before: ChordReport | undefined;
  readonly isSounding: boolean;
};

type VoiceListProps = VoicesProps & { readonly rows: number; readonly width: number };

/** From the top; with more voices than rows the lowest are counted. */
export const VoiceList = memo(function VoiceList(props: VoiceListProps) {
  const { now, before, isSounding, rows, width } = props;
  if (now === undefined) return null;
  const { voices } = now.sent;
  const moved = motions(before, now);
  const hidden = voices.length > rows ? voices.length - rows + 1 : 0;
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0}>
      {voices
        .map((voice, place) => ({ voice, motion: moved[place] }))
        .slice(hidden)
        .toReversed()
        .map(({ voice, motion }) => (
          <VoiceLabel
            key={voice.note}
            voice={voice}
            motion={motion}
            tone={voiceTone(motion, isSounding)}
            width={width}
          />
        ))}
      {hidden > 0 && <Words tone="quiet">{`and ${hidden} lower`}</Words>}
    </Box>
  );
}, sameContent);

/** 'C3 =  F3 ↓1  B♭3 ↑2', lowest first, as they are written; of what sounded as played the degrees. */
export const VoiceLine = memo(function VoiceLine({ now, before, isSounding }: VoicesProps) {
  if (now === undefined) return <Words> </Words>;
  const moved = motions(before, now);
  return (
    <Words>
      {now.sent.voices.map((voice, place) => {
        const motion = moved[place];
        const moves = motion === 0 ? '' : motionSign(motion);
        const sign = now.played === undefined ? moves : ` ${music(voice.degree)}`;
        return (
          <Run key={voice.note} tone={voiceTone(motion, isSounding)}>
            {`${music(voice.name)}${sign}  `}
          </Run>
        );
      })}
    </Words>
  );
}, sameContent);
