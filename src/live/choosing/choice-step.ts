import type { Turn } from '../../voicing/choices.ts';

/** One step of a turn: the next of its list, or the one before; higher and more are 1, too. */
export type ChoiceStep = { readonly turn: Turn; readonly by: 1 | -1 };
