/**
 * Lists of presets as the player arranges them: everything there is, the favourites, and setlists,
 * each a name and preset ids in order. A preset may stand in a setlist more than once; which of its
 * places is meant is told by the occurrence, 0 for the first. Pure: settings in, settings out.
 */
import type { Result } from '../../common/result.ts';
import type { Settings } from '../../io/files/settings.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { placeOfOccurrence } from '../../presets/place.ts';
import type { Preset } from '../../presets/preset.ts';
import type { PresetList } from '../../ui/stage-model.ts';
import { byFamily } from './family.ts';

/** Names that mean a list of our own. */
export const everything = '';
export const favouritesName = 'favourites';
const longestName = 40;

type Arranged = Result<Settings>;

/** A setlist may be called 'constructor'. */
export function idsOf({ setlists = {} }: Settings, name: string): readonly string[] | undefined {
  return Object.hasOwn(setlists, name) ? setlists[name] : undefined;
}

function placeOf(ids: readonly string[], id: string, occurrence: number): number {
  return placeOfOccurrence(
    ids.map((each) => ({ id: each })),
    id,
    occurrence,
  );
}

function withSetlist(settings: Settings, name: string, ids: readonly string[]): Settings {
  return { ...settings, setlists: { ...settings.setlists, [name]: ids } };
}

/** The lists that can be put on stage; ids that are no preset any more are left out. */
export function listsFrom(presets: readonly Preset[], settings: Settings): readonly PresetList[] {
  const known = new Set(presets.map((preset) => preset.id));
  const present = (ids: readonly string[]): string[] => ids.filter((id) => known.has(id));
  const all = byFamily(presets).map((preset) => preset.id);
  const favourites = present(settings.favourites ?? []);
  const setlists = Object.entries(settings.setlists ?? {});
  return [
    { name: everything, title: 'all presets', ids: all, isSetlist: false },
    ...(favourites.length > 0
      ? [{ name: favouritesName, title: 'favourites', ids: favourites, isSetlist: false }]
      : []),
    ...setlists.map(([name, ids]) => ({
      name,
      title: `setlist ${name}`,
      ids: present(ids),
      isSetlist: true,
    })),
  ];
}

/** The presets of a list in its order; all of them when the list is empty or unknown. */
export function presetsOnStage(
  presets: readonly Preset[],
  settings: Settings,
  name: string,
): readonly Preset[] {
  const list = listsFrom(presets, settings).find((each) => each.name === name);
  const found = (list?.ids ?? []).flatMap((id) => presets.find((preset) => preset.id === id) ?? []);
  return found.length > 0 ? found : byFamily(presets);
}

/**
 * What numbers from outside stand for: in a setlist its places, of all presets those in the order of
 * `presets`, as a recording's program numbers have always counted them.
 */
export function numberedOf(
  onStage: readonly Preset[],
  presets: readonly Preset[],
  settings: Settings,
): { readonly numbered?: readonly number[] } {
  if ((settings.setlist ?? everything) !== everything) return {};
  const standing = new Map(onStage.map(({ id }, place) => [id, place]));
  return { numbered: presets.flatMap(({ id }) => standing.get(id) ?? []) };
}

/** A new setlist, or one of that name afresh. */
export function makeSetlist(settings: Settings, name: string, ids: readonly string[]): Arranged {
  const problem = nameProblem(name);
  if (problem !== '') return { ok: false, problem };
  return { ok: true, value: withSetlist(settings, name, ids) };
}

function nameProblem(name: string): string {
  if (name === '' || name.length > longestName) {
    return `A setlist needs a name of 1 to ${longestName} characters.`;
  }
  const isTaken = ['all', favouritesName].includes(name.toLowerCase());
  return isTaken ? `'${name}' is a list already; give the setlist another name.` : '';
}

/** At its end, once more when it is there already. */
export function addToSetlist(settings: Settings, name: string, id: string): Arranged {
  const ids = idsOf(settings, name);
  if (ids === undefined) return unknownSetlist(settings, name);
  return { ok: true, value: withSetlist(settings, name, [...ids, id]) };
}

/** Taking out the last one takes the setlist away. */
export function takeFromSetlist(
  settings: Settings,
  name: string,
  id: string,
  occurrence = 0,
): Arranged {
  const ids = idsOf(settings, name);
  if (ids === undefined) return unknownSetlist(settings, name);
  const taken = placeOf(ids, id, occurrence);
  const left = ids.filter((_, place) => place !== taken);
  if (left.length > 0) return { ok: true, value: withSetlist(settings, name, left) };
  return removeSetlist(settings, name);
}

export function removeSetlist(settings: Settings, name: string): Arranged {
  if (idsOf(settings, name) === undefined) return unknownSetlist(settings, name);
  const { [name]: _, ...setlists } = settings.setlists ?? {};
  const { setlist, ...rest } = settings;
  const isOnStage = setlist === name;
  return {
    ok: true,
    value: { ...rest, setlists, ...(!isOnStage && setlist !== undefined && { setlist }) },
  };
}

/** One place earlier or later; at either end it stays. */
export function moveInSetlist(
  settings: Settings,
  name: string,
  id: string,
  step: 1 | -1,
  occurrence = 0,
): Arranged {
  const ids = idsOf(settings, name);
  if (ids === undefined) return unknownSetlist(settings, name);
  const from = placeOf(ids, id, occurrence);
  const to = from + step;
  if (from < 0 || to < 0 || to >= ids.length) return { ok: true, value: settings };
  const moved = ids.filter((_, place) => place !== from);
  return {
    ok: true,
    value: withSetlist(settings, name, [...moved.slice(0, to), id, ...moved.slice(to)]),
  };
}

export function toggleFavourite(settings: Settings, id: string): Settings {
  const { favourites = [] } = settings;
  const left = favourites.filter((each) => each !== id);
  return { ...settings, favourites: left.length < favourites.length ? left : [...left, id] };
}

export function unknownSetlist(
  settings: Settings,
  name: string,
): { readonly ok: false; readonly problem: string } {
  const names = Object.keys(settings.setlists ?? {});
  const there =
    names.length === 0
      ? 'there are none yet'
      : `there are ${names.map((each) => `'${each}'`).join(', ')}`;
  return {
    ok: false,
    problem: `there is no setlist '${name}'${adviseNearest(name, names)}; ${there}.`,
  };
}
