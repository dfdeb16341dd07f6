/** Keys of the presets page. */

import { freeOwnName } from '../own-name.ts';
import { occurrenceAt } from '../preset-choice.ts';
import { cursorPlace, listShown, listsOf, presetAtCursor, presetsShown } from '../preset-lists.ts';
import type { PresetLine, StageModel } from '../stage-model.ts';
import type { View, ViewAction } from '../view.ts';
import { type KeyAction, type KeyRow, type Struck, viewAction } from './key-row.ts';

function pointer(shown: readonly PresetLine[], place: number): ViewAction {
  return {
    type: 'pointAtPreset',
    id: shown[place]?.id,
    occurrence: occurrenceAt(shown, place),
  };
}

function pointAt({ view, model }: Struck, step: number): KeyAction | undefined {
  const shown = presetsShown(model, view);
  const place = Math.min(shown.length - 1, Math.max(0, cursorPlace(model, view) + step));
  return viewAction(pointer(shown, place));
}

function onPreset(make: (id: string, struck: Struck) => KeyAction | undefined): KeyRow['act'] {
  return (struck) => {
    const preset = presetAtCursor(struck.model, struck.view);
    return preset === undefined ? undefined : make(preset.id, struck);
  };
}

function nextList({ view, model }: Struck): KeyAction | undefined {
  const lists = listsOf(model);
  const place = lists.findIndex((each) => each.name === listShown(model, view).name);
  const next = lists[(place + 1) % lists.length];
  return next && viewAction({ type: 'showList', name: next.name });
}

function typing(purpose: 'search' | 'copy' | 'setlist', target: string, text: string): KeyAction {
  return viewAction({ type: 'type', typing: { purpose, target, text } });
}

/** The setlist on the page, else the one on stage, else the only one there is. */
function setlistAtHand(model: StageModel, view: View): string | undefined {
  const shown = listShown(model, view);
  if (shown.isSetlist) return shown.name;
  const setlists = listsOf(model).filter((each) => each.isSetlist);
  const onStage = setlists.find((each) => each.name === model.listOnStage);
  return onStage?.name ?? (setlists.length === 1 ? setlists[0]?.name : undefined);
}

/** The one at the cursor: of several of the same preset, this one. */
type Standing = { readonly list: string; readonly id: string; readonly occurrence: number };

function inSetlist(make: (standing: Standing, struck: Struck) => KeyAction): KeyRow['act'] {
  return onPreset((id, struck) => {
    const { name: list, isSetlist } = listShown(struck.model, struck.view);
    return isSetlist ? make({ list, id, occurrence: occurrenceOf(struck) }, struck) : undefined;
  });
}

const onlyInSetlist: Pick<KeyRow, 'isOffered' | 'otherwise'> = {
  isOffered: (model, view) => listShown(model, view).isSetlist,
  otherwise: 'This works in a setlist: l shows the next list, n begins a setlist.',
};

function occurrenceOf({ model, view }: Struck): number {
  return occurrenceAt(presetsShown(model, view), cursorPlace(model, view));
}

function arrange(standing: Standing, { model, view, which }: Struck): KeyAction {
  const step = which === 0 ? -1 : 1;
  const shown = presetsShown(model, view);
  const place = cursorPlace(model, view);
  // Past another one of the same preset nothing moves but the cursor.
  if (shown[place + step]?.id === standing.id) return viewAction(pointer(shown, place + step));
  return { type: 'moveInSetlist', ...standing, step };
}

function copyOf(id: string, { model, view }: Struck): KeyAction {
  const name = presetAtCursor(model, view)?.name ?? id;
  const text = freeOwnName(name, model.allPresets ?? model.presets);
  return viewAction({
    type: 'type',
    typing: { purpose: 'copy', target: id, text, isSelected: true },
  });
}

const list = { pages: ['presets'], isEditing: false } as const;

export const presetKeys: readonly KeyRow[] = [
  {
    ...list,
    id: 'point',
    strokes: ['up', 'down', 'pageup', 'pagedown'],
    isPair: true,
    brief: 'point',
    short: 'preset before, after',
    help: 'point at the preset before, the preset after (Page keys: by eight)',
    act: (struck) => pointAt(struck, [-1, 1, -8, 8][struck.which] ?? 0),
  },
  {
    ...list,
    id: 'choose',
    strokes: ['return'],
    brief: 'play it',
    short: 'play it',
    help: 'play it, and put the list shown on stage',
    act: onPreset((id, struck) => ({
      type: 'choosePreset',
      id,
      list: listShown(struck.model, struck.view).name,
      occurrence: occurrenceOf(struck),
    })),
  },
  {
    ...list,
    id: 'audition',
    strokes: ['space'],
    brief: 'hear',
    short: 'hear it with the last chord',
    help: 'hear the last chord in it, and go back',
    act: onPreset((id) => ({ type: 'audition', id })),
  },
  {
    ...list,
    id: 'favourite',
    strokes: ['f'],
    brief: 'favourite',
    short: 'favourite, or not',
    help: 'make it a favourite, or not any longer',
    act: onPreset((id) => ({ type: 'toggleFavourite', id })),
  },
  {
    ...list,
    id: 'edit',
    strokes: ['e'],
    brief: 'edit',
    short: 'edit (a copy)',
    help: 'edit one of your own; one that came with Handspan is copied first',
    act: onPreset((id, struck) =>
      presetAtCursor(struck.model, struck.view)?.isOwn
        ? {
            type: 'view',
            action: { type: 'edit', isEditing: true },
            intent: { type: 'editPreset', id },
          }
        : copyOf(id, struck),
    ),
  },
  {
    ...list,
    id: 'copy',
    strokes: ['c'],
    brief: 'copy',
    short: 'copy it to your own',
    help: 'copy it to your own, under a name you type',
    act: onPreset(copyOf),
  },
  {
    ...list,
    id: 'search',
    strokes: ['/'],
    brief: 'search',
    help: 'search by words of name and description (Esc: all again)',
    act: ({ view }) => typing('search', '', view.search),
  },
  {
    ...list,
    id: 'list',
    strokes: ['l'],
    brief: 'list',
    short: 'next list',
    help: 'next list: all, favourites, each setlist',
    act: nextList,
  },
  {
    ...list,
    id: 'add',
    strokes: ['a'],
    brief: 'to setlist',
    short: 'add to the setlist',
    help: 'add it to the setlist (the one shown, on stage, or the only one)',
    act: onPreset((id, { model, view }) => {
      const name = setlistAtHand(model, view);
      if (name !== undefined) return { type: 'addToSetlist', list: name, id };
      return typing('setlist', id, '');
    }),
  },
  {
    ...list,
    id: 'setlist',
    strokes: ['n'],
    brief: 'new setlist',
    short: 'new setlist with it',
    help: 'new setlist, beginning with this preset',
    act: onPreset((id) => typing('setlist', id, '')),
  },
  {
    ...list,
    id: 'take-out',
    strokes: ['x'],
    brief: 'take out',
    short: 'take out of the setlist',
    help: 'take it out of the setlist shown',
    ...onlyInSetlist,
    act: inSetlist((standing) => ({ type: 'takeFromSetlist', ...standing })),
  },
  {
    ...list,
    id: 'arrange',
    strokes: ['left', 'right'],
    isPair: true,
    brief: 'arrange',
    short: 'earlier, later in setlist',
    help: 'move it earlier or later in the setlist shown',
    ...onlyInSetlist,
    act: inSetlist(arrange),
  },
];
