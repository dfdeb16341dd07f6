/**
 * The help page: every key of the page with what it does, found by words (/), turned by the arrows;
 * what is said now, whole; the signs; and the caution.
 */
import { Box } from 'ink';
import { wrapText } from '../../common/words.ts';
import { music, useLook, Words } from '../frame/words.tsx';
import { keyLabel } from '../keys/key-label.ts';
import { type KeyRow, strokesOf } from '../keys/key-row.ts';
import { keysIn } from '../keys/keys.ts';
import type { Tone } from '../look.ts';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { View } from '../view.ts';
import { cautions } from './cautions.ts';

const legend =
  'Motion in semitones: ↑2 up, ↓1 down, = stays. On the staff, ↑ ↓ instead of a head: above, below what it shows. Keyboard: ○ played, ● sounds, ◉ both.';

/** The keys that hold on the page, as many as have all the words that are searched for. */
export function helpRows(model: StageModel, view: View): readonly KeyRow[] {
  const where = { page: view.page, isEditing: view.isEditing && model.editor !== undefined };
  const words = view.helpSearch.toLowerCase().split(/\s+/).filter(Boolean);
  return keysIn(model.mode, where).filter((row) => {
    // What has no key until the player gives it one.
    if (row.figures === undefined && strokesOf(row, model.bindings).length === 0) return false;
    const text = `${row.strokes.join(' ')} ${row.brief} ${row.help}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
}

type HelpProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
  /** The last message, which has gone from its line; '' for none. */
  readonly lastSaid: string;
};

const keyWidth = 8;
const fewRows = 12;
const fewestKeys = 4;

function KeyHelp({ label, text, width }: { label: string; text: string; width: number }) {
  const before = Math.max(keyWidth, widthOf(label) + 1);
  return (
    <Box width={width} flexShrink={0}>
      <Box width={before} flexShrink={0}>
        <Words tone="strong">{label}</Words>
      </Box>
      <Lines text={text} width={width - before} />
    </Box>
  );
}

/** Whole words in lines: a space where a line ends would begin the next one. */
function Lines({ text, width, tone, rows = Number.POSITIVE_INFINITY }: LinesProps) {
  const lines = wrapText(text, width, widthOf);
  // What has no room ends in the sign of a cut line.
  const shown =
    lines.length <= rows ? lines : [...lines.slice(0, rows - 1), lines.slice(rows - 1).join(' ')];
  return (
    <Box flexDirection="column" flexShrink={0} width={width}>
      {shown.map((line, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines are their places.
        <Words key={row} tone={tone}>
          {line}
        </Words>
      ))}
    </Box>
  );
}

type LinesProps = {
  readonly text: string;
  readonly width: number;
  readonly tone?: Tone;
  /** At the most. */
  readonly rows?: number;
};

export function HelpPage({ model, view, width, rows, lastSaid }: HelpProps) {
  const look = useLook();
  const held = helpRows(model, view);
  const from = Math.min(view.helpFrom, Math.max(0, held.length - 1));
  const isSearching = view.typing?.purpose === 'search';
  const { helpSearch } = view;
  const found = isSearching || helpSearch !== '';
  // Side by side where one column is not enough.
  const perColumn = rows - 3;
  // Where rows are few, the first page of help has what stands under the keys.
  const hasRest = rows >= fewRows || from === 0;
  const isSaid = lastSaid !== '' && lastSaid !== model.message;
  // Keys are what was asked for: the longest sentence leaves some of them.
  const saidRows = Math.max(1, rows - 1 - fewestKeys);
  const columns = width >= 118 && held.length > perColumn ? 2 : 1;
  const column = Math.floor((width - (columns - 1) * 3) / columns);
  const split = Math.ceil((held.length - from) / columns);
  const lists = Array.from({ length: columns }, (_, place) =>
    held.slice(from + place * split, from + (place + 1) * split),
  );
  return (
    <Box flexDirection="column" width={width} height={rows}>
      <Box height={1} flexShrink={0}>
        <Words>
          {found
            ? `search: ${helpSearch}${isSearching ? '_' : ''}`
            : `keys of the page ${view.page}: ↑ ↓ go on, / search, h close`}
        </Words>
      </Box>
      <Box flexGrow={1} flexShrink={1} columnGap={3} overflowY="hidden">
        {lists.map((list, place) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a column is its place.
          <Box key={place} flexDirection="column" width={column} flexShrink={0}>
            {list.map((row) => (
              <KeyHelp
                key={row.id}
                label={keyLabel(look, row, model.bindings)}
                text={music(row.help)}
                width={column}
              />
            ))}
            {place === columns - 1 && view.page === 'stage' && !found && (
              <Box flexShrink={0} marginTop={1}>
                <Lines tone="quiet" text={legend} width={column} />
              </Box>
            )}
          </Box>
        ))}
      </Box>
      {hasRest && isSaid && <Lines text={`said last: ${lastSaid}`} width={width} rows={saidRows} />}
      {hasRest && (rows >= fewRows || !isSaid) && (
        <Lines tone="quiet" text={cautions.join(' ')} width={width} />
      )}
    </Box>
  );
}
