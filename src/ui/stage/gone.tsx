/** The chords before the one that is shown large: two lines, oldest left; or a list, newest first. */
import { Box } from 'ink';
import { memo } from 'react';
import type { ChordReport } from '../../live/snapshot.ts';
import { sameContent } from '../frame/same-content.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { wantingOf } from '../given-up.ts';
import { widthOf } from '../text.ts';

/** What sounded as it was played has one name. */
function namesOf({ heard, sent, played }: ChordReport) {
  const symbol = music(sent.symbol) || '–';
  return { heard: played === undefined ? music(heard.symbol) || '–' : '', sent: symbol };
}

const gap = 2;

/** As many of the newest as stand whole beside each other, heard over sent. */
function fitting(chords: readonly ChordReport[], width: number) {
  let room = width + gap;
  const columns: { readonly heard: string; readonly sent: string; readonly wide: number }[] = [];
  for (const chord of chords.toReversed()) {
    const { heard, sent } = namesOf(chord);
    const wide = Math.max(widthOf(heard), widthOf(sent)) + gap;
    room -= wide;
    if (room < 0) break;
    columns.unshift({ heard, sent, wide });
  }
  return columns;
}

type GoneProps = { readonly chords: readonly ChordReport[]; readonly width: number };

const title = 'before';

export const GoneRow = memo(function GoneRow({ chords, width }: GoneProps) {
  const margin = title.length + 1 + gap;
  const columns = fitting(chords.slice(0, -1), width - margin);
  const line = (which: 'heard' | 'sent') =>
    columns.map((each) => each[which] + ' '.repeat(each.wide - widthOf(each[which]))).join('');
  return (
    <Box flexDirection="column" height={2} width={width} flexShrink={0}>
      <Words tone="quiet">
        {columns.length === 0 ? ' ' : (title.padEnd(margin) + line('heard')).trimEnd()}
      </Words>
      <Words>{(' '.repeat(margin) + line('sent')).trimEnd() || ' '}</Words>
    </Box>
  );
}, sameContent);

type GoneListProps = GoneProps & { readonly rows: number };

/** Each with its technique and what it lacked; what does not fit below is cut off whole. */
export const GoneList = memo(function GoneList({ chords, rows, width }: GoneListProps) {
  const shown = chords
    .slice(0, -1)
    .toReversed()
    .slice(0, Math.ceil(rows / 3));
  if (shown.length === 0) return null;
  return (
    <Box flexDirection="column" width={width} height={rows} overflowY="hidden" flexShrink={0}>
      <Words tone="quiet">before</Words>
      {shown.map((chord, place) => {
        const { heard, sent } = namesOf(chord);
        const wanting = wantingOf(chord.sent);
        return (
          <Box
            // biome-ignore lint/suspicious/noArrayIndexKey: one chord may be voiced twice at a time.
            key={`${chord.atMicroseconds} ${place}`}
            flexDirection="column"
            flexShrink={0}
            marginBottom={1}
          >
            <Words>
              <Run tone="quiet">{heard === '' ? '' : `${heard} → `}</Run>
              <Run>{sent}</Run>
            </Words>
            <Words tone="quiet" wrap="wrap">
              {music(`${chord.sent.label}${wanting === '' ? '' : `; ${wanting}`}`)}
            </Words>
          </Box>
        );
      })}
    </Box>
  );
}, sameContent);
