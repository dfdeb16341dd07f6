/** What the rules that a voicing gives up are called: in charts, on the screen and for players. */
type Named = { readonly name: string; readonly degree: string };

/** Degrees that lead: the third of a dominant, the seventh over a tonic. */
const leading: readonly string[] = ['3', '7'];

/** Names of notes, 'D4', that sound in more than one octave: 'D'; in the order in which they come. */
function doubledNames(notes: readonly Named[]): readonly string[] {
  const letters = notes.map(({ name }) => name.replace(/-?\d+$/u, ''));
  return [...new Set(letters.filter((name, place) => letters.indexOf(name) !== place))];
}

/** 'single leading tone (B twice)'. @param notes those that may be doubled. */
function withDoubled(what: string, notes: readonly Named[]): string {
  const doubled = doubledNames(notes);
  return doubled.length === 0 ? what : `${what} (${doubled.join(' and ')} twice)`;
}

/** A rule that forbids is given up as what it forbids; of a doubling, which tone of the notes it is. */
export function spokenRule(rule: string, notes: readonly Named[]): string {
  switch (rule) {
    case 'minor ninths':
      return 'no minor ninth';
    case 'doubling':
      return withDoubled('no doubling', notes);
    case 'leading tone': {
      const leads = notes.filter(({ degree }) => leading.includes(degree));
      return withDoubled('single leading tone', leads);
    }
    default:
      return rule;
  }
}
