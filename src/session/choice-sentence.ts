/** The player's choice in a sentence, with what stands before and after it in its list. */
import type { NearChoice, NearestChoices, TakenShape } from '../live/snapshot.ts';

const names = {
  voicing: 'Voicing',
  bass: 'Bass',
  technique: 'Technique',
  lead: 'Lead',
  voices: 'Number of voices',
} as const;

/** 'Dm9/F, drop 2 (F2 E4)': what it is and what would be struck for it. */
function brief({ symbol, label, struck }: NearChoice): string {
  const change = struck.length === 0 ? '' : ` (${struck.join(' ')})`;
  return `${symbol}, ${label}${change}`;
}

export function latchSentence(isLatched: boolean): string {
  return isLatched
    ? 'Latched: what sounds stays until the next chord.'
    : 'No longer latched: a chord ends with its keys.';
}

export function listenSentence(isListening: boolean): string {
  return isListening
    ? 'Listening: what you play sounds as played and is named; nothing is revoiced.'
    : 'No longer listening: chords are voiced.';
}

/** 'Shape 1 / 5 9 b3 b7 of Dm7: spread.' */
export function shapeSentence({ text, chord, label, others }: TakenShape): string {
  const other = others.length === 0 ? '' : `; played, it has ${others.join(', ')}`;
  return `Shape ${text} of ${chord}: ${label}${other}.`;
}

export function choiceSentence({ by, index, of, near }: NearestChoices): string {
  const now = near.find((each) => each.index === index);
  const after = near.find((each) => each.index === index + 1);
  const before = near.find((each) => each.index === index - 1);
  const parts = [
    `${names[by]} ${index} of ${of}: ${now === undefined ? '' : `${now.symbol}, ${now.label}`}`,
    after === undefined ? '' : `next in the list ${brief(after)}`,
    before === undefined ? '' : `the one before it ${brief(before)}`,
  ];
  return `${parts.filter((part) => part !== '').join('; ')}.`;
}
