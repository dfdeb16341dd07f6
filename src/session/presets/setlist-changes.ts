/** Favourites and setlists, as the player changes them on the screen; remembered at once, and said. */
import { capitalised } from '../../common/words.ts';
import type { PlaySession } from '../session.ts';
import type { KnownPresets } from './known-presets.ts';
import {
  addToSetlist,
  makeSetlist,
  moveInSetlist,
  takeFromSetlist,
  toggleFavourite,
} from './setlists.ts';

export class SetlistChanges {
  readonly #session: PlaySession;
  readonly #known: KnownPresets;

  constructor(session: PlaySession, known: KnownPresets) {
    this.#session = session;
    this.#known = known;
  }

  favour(id: string): void {
    this.#session.remember(toggleFavourite(this.#session.memory, id));
  }

  begin(name: string, id: string): void {
    this.#arrange(makeSetlist(this.#session.memory, name, [id]), `Setlist '${name}' begun.`);
  }

  add(list: string, id: string): void {
    const name = this.#known.find(id)?.name ?? id;
    const { memory } = this.#session;
    const isAgain = memory.setlists?.[list]?.includes(id) === true;
    const more = isAgain ? ', where it stands more than once now' : '';
    const sentence = `${name} was added to '${list}'${more}.`;
    this.#arrange(addToSetlist(memory, list, id), sentence);
  }

  takeOut(list: string, id: string, occurrence: number): void {
    this.#arrange(takeFromSetlist(this.#session.memory, list, id, occurrence), '');
  }

  move(list: string, id: string, step: 1 | -1, occurrence: number): void {
    this.#arrange(moveInSetlist(this.#session.memory, list, id, step, occurrence), '');
  }

  #arrange(arranged: ReturnType<typeof makeSetlist>, sentence: string): void {
    if (arranged.ok) this.#session.remember(arranged.value);
    this.#session.say(arranged.ok ? sentence : capitalised(arranged.problem));
  }
}
