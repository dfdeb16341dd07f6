/**
 * `handspan chart --for PLAYERS --out FOLDER`: the score and the parts as MusicXML and as pictures, a
 * MIDI file and a list, in one folder that is there whole or not at all.
 */
import { partsReport } from '../../chart/parts/part-report.ts';
import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { createProgressBar } from '../../cli/progress-bar.ts';
import type { Result } from '../../common/result.ts';
import { counted } from '../../common/words.ts';
import type { Paper } from '../../io/engraving/engrave.ts';
import {
  type FolderFile,
  type OutputFolder,
  prepareOutputFolder,
} from '../../io/files/output-folder.ts';
import { toMusicXml } from '../../score/musicxml.ts';
import type { Progression } from '../../score/progression.ts';
import { layOut } from '../../score/score-layout.ts';
import { engraved } from '../scores/score-pictures.ts';
import type { Played } from './for-players.ts';
import { partByItself } from './part-progressions.ts';

const list = 'parts.json';
const scoreName = 'score';

export function preparePartsFolder(folder: string, isOverwriting: boolean): Result<OutputFolder> {
  return prepareOutputFolder(folder, { what: 'parts', list, isOverwriting });
}

/** 'Alto sax 1' as the name of a file. */
function fileName(name: string): string {
  return name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
}

type Sheet = { readonly name: string; readonly progression: Progression };

function sheetsOf({ parts, score }: Played, hasSymbols: boolean): readonly Sheet[] {
  const own = parts.lines.map((line) => ({
    name: fileName(line.player.name),
    progression: partByItself(parts, line, hasSymbols),
  }));
  return [{ name: scoreName, progression: score() }, ...own];
}

type Show = (done: number, of: number) => void;

/** 'trumpet.svg', or of several pages 'trumpet-1.svg' and so on. */
async function pictures(sheet: Sheet, paper: Paper): Promise<Result<readonly FolderFile[]>> {
  const pages: string[] = [];
  const show = () => {};
  const isPart = sheet.name !== scoreName;
  const wish = { paper, isStrip: false, isPart };
  for await (const page of engraved(layOut(sheet.progression), wish, show)) {
    if (!page.ok) return page;
    pages.push(page.value);
  }
  const isOne = pages.length === 1;
  return {
    ok: true,
    value: pages.map((content, place) => ({
      name: isOne ? `${sheet.name}.svg` : `${sheet.name}-${place + 1}.svg`,
      content,
    })),
  };
}

type Writing = {
  readonly paper: Paper;
  /** In the parts; the score has them. */
  readonly hasSymbols: boolean;
  readonly show: Show;
  /** Why there are no pictures, in a sentence. */
  readonly onNoPictures: (problem: string) => void;
};

/** The list comes last, when all names are known. */
async function* filesOf(
  played: Played,
  { paper, hasSymbols, show, onNoPictures }: Writing,
): AsyncGenerator<Result<FolderFile>, void> {
  const names: string[] = [];
  const file = (name: string, content: Uint8Array | string): Result<FolderFile> => {
    names.push(name);
    return { ok: true, value: { name, content } };
  };
  const sheets = sheetsOf(played, hasSymbols);
  for (const { name, progression } of sheets) {
    yield file(`${name}.musicxml`, toMusicXml(progression));
  }
  yield file('score.mid', played.midi());
  for (const [place, sheet] of sheets.entries()) {
    show(place, sheets.length);
    const drawn = await pictures(sheet, paper);
    if (!drawn.ok) {
      // Everything else stands without them.
      onNoPictures(drawn.problem);
      break;
    }
    for (const { name, content } of drawn.value) yield file(name, content);
  }
  const report = { ...partsReport(played.parts), files: [...names, list] };
  yield file(list, `${JSON.stringify(report, undefined, 1)}\n`);
}

/** Says what was written, or what went wrong; an exit code. */
export async function writePartsFolder(
  folder: OutputFolder,
  played: Played,
  wish: Pick<Writing, 'paper' | 'hasSymbols'>,
  streams: Streams,
): Promise<number> {
  const bar = createProgressBar(streams.stderr, 'Writing the parts');
  let noPictures = '';
  const files = filesOf(played, {
    ...wish,
    show: bar.show,
    onNoPictures: (problem) => {
      noPictures = problem;
    },
  });
  const saved = await folder.save(files);
  bar.clear();
  if (!saved.ok) return failure(streams, saved.problem);
  const parts = counted(played.parts.lines.length, 'part');
  const extent = noPictures === '' ? 'as MusicXML and pictures' : 'as MusicXML';
  streams.stderr.write(
    `handspan: a score and ${parts} ${extent}, and a MIDI file are in ${saved.value}\n`,
  );
  return noPictures === '' ? exitCodes.fine : failure(streams, noPictures);
}
