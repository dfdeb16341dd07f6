/** A preset learned from a passage, in the user's folder where one is asked for. */
import type { Analysis } from '../../analyse/analyse.ts';
import type { DescribedChord } from '../../analyse/describe.ts';
import { type Learned, learn } from '../../analyse/learn.ts';
import { type LearnedReport, learnedReport, textureOf } from '../../analyse/learned-text.ts';
import { ownCommand } from '../../cli/own-command.ts';
import { visible } from '../../cli/visible.ts';
import type { Result } from '../../common/result.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readPresets } from '../../io/files/preset-files.ts';
import { copyPreset } from '../../session/presets/preset-copy.ts';

export type LearnValues = {
  readonly preset?: string;
  readonly 'hold-out'?: boolean;
  /** What it is learned from, in words. */
  readonly source: string;
};

export type LearnedPreset = {
  readonly learned: Learned;
  /** Absent: none was asked for. */
  readonly written?: { readonly id: string; readonly file: string };
  /** Where it is and how to play it; sentences. */
  readonly remarks: readonly string[];
};

const longestAbout = 100;

/** The line of a preset's `about`. */
export function aboutLearned(source: string, learned: Learned): string {
  const about = `Learned from ${source}: ${textureOf(learned)}`;
  return [...about].slice(0, longestAbout).join('').trim();
}

/** Undefined where nothing is to be learned. The problem is one sentence. */
export async function learnPreset(
  analysis: Analysis,
  { preset: name, 'hold-out': isHalfHeldOut = false, source }: LearnValues,
): Promise<Result<LearnedPreset> | undefined> {
  if (name === undefined && !isHalfHeldOut) return undefined;
  if (isHalfHeldOut && analysis.chords.length < 2) {
    const problem = `'--hold-out': ${source} has one chord, which has no second half.`;
    return { ok: false, problem };
  }
  const folder = userFolders(process.env).presets;
  const collection = await readPresets(folder);
  const known = collection.entries.map((entry) => entry.preset);
  const there = known.find(({ id }) => id === name?.trim().toLowerCase());
  if (there !== undefined) {
    const problem = `'--preset ${there.id}' names the preset that is made of the passage, and '${there.id}' is there already; give a new name, such as 'My ${there.name.toLowerCase()}'.`;
    return { ok: false, problem };
  }
  const learned = learn(analysis, isHalfHeldOut, known);
  if (name === undefined) return { ok: true, value: { learned, remarks: [] } };
  const preset = { ...learned.preset, about: aboutLearned(visible(source), learned) };
  const copied = copyPreset(preset, name.trim(), collection.entries, folder);
  if (!copied.ok) return copied;
  const { preset: own, file } = copied.value;
  const play = `'${ownCommand(`play --preset ${own.id}`)}' plays it; it is in ${file}.`;
  const remarks = [copied.remark, play].filter((each) => each !== '');
  return { ok: true, value: { learned, written: { id: own.id, file }, remarks } };
}

export type LearnedJson = LearnedReport & {
  /** Null where no preset was asked for. */
  readonly preset: { readonly id: string; readonly file: string } | null;
};

export function learnedJson(
  { learned, written }: LearnedPreset,
  chords: readonly DescribedChord[],
): LearnedJson {
  return { preset: written ?? null, ...learnedReport(learned, chords) };
}
