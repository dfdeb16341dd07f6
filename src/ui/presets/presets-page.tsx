/**
 * The presets page: left the list with its cursor, by family where it is everything; right what the
 * preset under the cursor would make of the last chord, marked as a preview, and its registers. A
 * narrow terminal shows the list, and of the preview the line that tells most; a very wide one also what
 * the preset sets.
 */
import { Box } from 'ink';
import { music, Run, Words } from '../frame/words.tsx';
import { wantingOf } from '../given-up.ts';
import {
  cursorPlace,
  listShown,
  listsOf,
  presetAtCursor,
  presetsShown,
  shownPlaceThatPlays,
} from '../preset-lists.ts';
import { rangeText } from '../stage/settings.tsx';
import { Staff } from '../stage/staff.tsx';
import { reachesOf } from '../stage/stage-page.tsx';
import type { PresetLine, StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { View } from '../view.ts';
import { windowStart } from '../window.ts';

type PageProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
};

type Row =
  | { readonly type: 'family'; readonly name: string }
  | { readonly type: 'preset'; readonly preset: PresetLine; readonly place: number };

/** The list as rows, with the name of each family over its presets; setlists have their own order. */
function rowsOf(shown: readonly PresetLine[], isGrouped: boolean): readonly Row[] {
  return shown.flatMap((preset, place): readonly Row[] => {
    const row: Row = { type: 'preset', preset, place };
    const { family = '' } = preset;
    const isFirst = family !== '' && family !== shown[place - 1]?.family;
    return isGrouped && isFirst ? [{ type: 'family', name: family }, row] : [row];
  });
}

type LineProps = {
  readonly preset: PresetLine;
  readonly isCursor: boolean;
  readonly isPlaying: boolean;
  readonly width: number;
};

function ListLine({ preset, isCursor, isPlaying, width }: LineProps) {
  const hasWord = isPlaying && widthOf(preset.name) + 12 <= width;
  const marks = `${preset.isFavourite ? '★' : ' '}${preset.isOwn ? '*' : ' '}`;
  return (
    <Words>
      <Run tone="strong">{isCursor ? '▸ ' : '  '}</Run>
      <Run tone="quiet">{marks}</Run>
      <Run tone="sounding">{isPlaying && !hasWord ? '♪' : ' '}</Run>
      <Run tone={isCursor ? 'strong' : 'plain'}>{preset.name}</Run>
      <Run tone="sounding">{hasWord ? '  plays' : ''}</Run>
    </Words>
  );
}

/** Which list, how many, and how to another; what is searched for. */
function ListHeading({ model, view, width }: Omit<PageProps, 'rows'>) {
  const { title, name, ids } = listShown(model, view);
  const isOnStage = name === (model.listOnStage ?? '');
  const more = listsOf(model).length > 1 ? '  l: next' : '';
  const isSearching = view.typing?.purpose === 'search';
  const search = isSearching || view.search !== '' ? `search: ${view.search}` : '';
  return (
    <Box flexDirection="column" width={width} flexShrink={0}>
      <Words wrap="wrap">
        <Run tone="strong">{title}</Run>
        <Run tone="quiet">{`  ${ids.length}${isOnStage ? ', on stage' : ''}${more}`}</Run>
      </Words>
      {search === '' ? (
        <Words tone="quiet">★ favourite * your own</Words>
      ) : (
        <Words>
          <Run tone="strong">{search}</Run>
          <Run>{isSearching ? '_' : ''}</Run>
        </Words>
      )}
    </Box>
  );
}

function List({ model, view, width, rows }: PageProps) {
  const shown = presetsShown(model, view);
  const cursor = cursorPlace(model, view);
  const playing = shownPlaceThatPlays(model, view);
  const list = listShown(model, view);
  const heading = widthOf(list.title) + 20 > width ? 3 : 2;
  const lines = rowsOf(shown, list.name === '');
  const at = lines.findIndex((row) => row.type === 'preset' && row.place === cursor);
  const room = Math.max(1, rows - heading);
  const start = windowStart(lines.length, room, at);
  const empty = view.search === '' ? 'Nothing in this list yet.' : 'No preset has these words.';
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      <ListHeading model={model} view={view} width={width} />
      {lines.length === 0 && <Words tone="quiet">{empty}</Words>}
      {lines.slice(start, start + room).map((row) =>
        row.type === 'family' ? (
          <Words key={`family ${row.name}`} tone="quiet">
            {row.name}
          </Words>
        ) : (
          <ListLine
            key={`preset ${row.place}`}
            preset={row.preset}
            isCursor={row.place === cursor}
            isPlaying={row.place === playing}
            width={width}
          />
        ),
      )}
    </Box>
  );
}

function Registers({ model, id }: { readonly model: StageModel; readonly id: string }) {
  const registers = model.registersOf?.(id);
  if (registers === undefined) return null;
  return (
    <Words tone="quiet">
      {`voices ${rangeText(registers.upper)}, bass ${rangeText(registers.bass)}`}
    </Words>
  );
}

function Preview({ model, view, width, rows }: PageProps) {
  const preset = presetAtCursor(model, view);
  if (preset === undefined) return null;
  const last = model.state.snapshot.chords.at(-1);
  const preview = model.previewOf?.(preset.id);
  const wanting = preview === undefined ? '' : wantingOf(preview.sent);
  const staffRows = rows - 8;
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      <Words tone="strong" wrap="wrap">
        {preset.name}
      </Words>
      <Words wrap="wrap">{preset.about}</Words>
      <Registers model={model} id={preset.id} />
      {last === undefined || preview === undefined ? (
        <Words wrap="wrap" tone="quiet">
          {last === undefined ? 'Play a chord to see what this preset makes of it.' : ''}
        </Words>
      ) : (
        <>
          <Words>
            <Run tone="quiet">{`preview  ${music(last.heard.symbol) || '–'} → `}</Run>
            <Run tone="strong">{music(preview.sent.symbol) || '–'}</Run>
          </Words>
          <Words wrap="wrap">
            <Run>{music(preview.sent.label)}</Run>
            <Run tone="caution">{wanting === '' ? '' : `; ${music(wanting)}`}</Run>
          </Words>
          {staffRows >= 11 ? (
            <Staff
              now={preview}
              before={last}
              isSounding={false}
              columns={width}
              rows={staffRows}
              reaches={reachesOf({
                ...model.state.snapshot,
                ...model.registersOf?.(preset.id),
                chords: [last, preview],
              })}
              headings={['sounds', 'preview']}
            />
          ) : (
            <Words wrap="wrap">
              {music(preview.sent.voices.map(({ name, degree }) => `${name} ${degree}`).join('  '))}
            </Words>
          )}
        </>
      )}
    </Box>
  );
}

/** Columns of the list: the longest name in it can be read whole, as far as the preview has room. */
function listWidth(model: StageModel, view: View, width: number): number {
  const longest = Math.max(0, ...presetsShown(model, view).map(({ name }) => widthOf(name)));
  const usual = Math.min(44, Math.floor(width * 0.46));
  return Math.max(usual, Math.min(5 + longest, Math.floor(width * 0.5)));
}

/** Narrow: what the preset under the cursor makes of the last chord, in one line. */
function PreviewLine({ model, view }: Pick<PageProps, 'model' | 'view'>) {
  const preset = presetAtCursor(model, view);
  const preview = preset && model.previewOf?.(preset.id);
  if (preset === undefined) return null;
  return (
    <Words>
      <Run tone="quiet">{preview === undefined ? preset.about : 'preview '}</Run>
      <Run tone="strong">{preview === undefined ? '' : music(preview.sent.symbol)}</Run>
      <Run tone="quiet">{preview === undefined ? '' : ` ${music(preview.sent.label)}`}</Run>
    </Words>
  );
}

/** Where there is a column more: what the preset under the cursor sets, as its editor has it. */
function Settings({ model, view, width, rows }: PageProps) {
  const preset = presetAtCursor(model, view);
  const settings = preset === undefined ? [] : (model.settingsOf?.(preset.id) ?? []);
  const labels = Math.max(0, ...settings.map(({ label }) => widthOf(label)));
  const lines = settings.flatMap(({ id, group, label, value }) => [
    ...(group === undefined ? [] : [{ key: `of ${id}`, label: group, value: '' }]),
    { key: id, label: `  ${label.padEnd(labels)}`, value },
  ]);
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflow="hidden">
      {lines.slice(0, rows).map(({ key, label, value }) => (
        <Words key={key}>
          <Run tone="quiet">{label}</Run>
          <Run>{value === '' ? '' : `  ${music(value)}`}</Run>
        </Words>
      ))}
    </Box>
  );
}

/** From so many columns on; the staff of the preview needs no more than its own. */
const withSettings = 150;
const previewColumns = 88;

export function PresetsPage({ model, view, width, rows }: PageProps) {
  if (width < 58) {
    return (
      <Box flexDirection="column" width={width}>
        <List model={model} view={view} width={width} rows={rows - 1} />
        <PreviewLine model={model} view={view} />
      </Box>
    );
  }
  const left = listWidth(model, view, width - 2);
  const rest = width - 2 - left;
  const middle = width < withSettings ? rest : Math.min(previewColumns, Math.floor(rest * 0.6));
  const right = rest - middle - 2;
  return (
    <Box columnGap={2} width={width}>
      <List model={model} view={view} width={left} rows={rows} />
      <Preview model={model} view={view} width={middle} rows={rows} />
      {right >= 24 && <Settings model={model} view={view} width={right} rows={rows} />}
    </Box>
  );
}
