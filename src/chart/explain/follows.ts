/** How a voicing follows from the one before: what resolves, what stays, or where it begins. */
import { counted } from '../../common/words.ts';
import { formatRegister } from '../../presets/register.ts';
import { isSixthForSeventh } from '../../voicing/left-out.ts';
import type { Frame, Voicing } from '../../voicing/voicing.ts';
import type { ToldVoicing } from './built.ts';
import { type Clause, clause, type Placed } from './clause.ts';
import { listed } from './words.ts';

/** Semitones that the root falls where what wants to move resolves. */
const resolvingFalls: readonly number[] = [7, 1];

/** 'C4 falls to B3'. */
function movesOf(
  tones: readonly number[],
  { voicing: last, notes: names }: ToldVoicing,
  { voicing: next, notes: nextNames }: ToldVoicing,
  ways: readonly number[],
): readonly string[] {
  return tones.flatMap((tone) => {
    const step = ways.find((each) => next.upper.includes(tone + each));
    // What stays is told with all that does.
    if (step === undefined || step === 0) return [];
    const from = names[last.notes.indexOf(tone)]?.name ?? '';
    const to = nextNames[next.notes.indexOf(tone + step)]?.name ?? '';
    return [`${from} ${step < 0 ? 'falls' : 'rises'} to ${to}`];
  });
}

/** Sevenths go down a step or stay, leading notes up a semitone, stay, or fall one. */
function resolutions(last: ToldVoicing, next: ToldVoicing): readonly string[] {
  const { root, sevenths, leadingTones } = last.voicing.tendencies;
  const fall = (root - next.voicing.tendencies.root + 12) % 12;
  if (!resolvingFalls.includes(fall)) return [];
  return [
    ...movesOf(sevenths, last, next, [-1, -2, 0]),
    ...movesOf(leadingTones, last, next, [1, 0, -1]),
  ];
}

function stays(names: readonly string[]): string {
  return `${listed(names)} ${names.length === 1 ? 'stays' : 'stay'}`;
}

function placeInRegister({ upper }: Voicing, { upper: register }: Frame): string {
  const mean = upper.reduce((sum, note) => sum + note, 0) / Math.max(1, upper.length);
  const away = Math.round(Math.abs(mean - (register.lowest + register.highest) / 2));
  const where = `the middle of its register, ${formatRegister(register)}`;
  if (away === 0) return `as the first chord it stands in ${where}`;
  return `as the first chord it stands ${counted(away, 'semitone')} from ${where}`;
}

export function follows(placed: Placed): Clause | undefined {
  const { last, prepared, voicing, notes } = placed;
  const { frame, preset, list } = prepared;
  if (frame.lead !== undefined && voicing.upper.at(-1) === frame.lead) {
    const sixth = isSixthForSeventh(voicing, prepared.harmony)
      ? ', and as that is the root, the 6th stands for the 7th'
      : '';
    return clause('lead', `the written lead ${notes.at(-1)?.name ?? ''} is its top voice${sixth}`);
  }
  if (last === undefined) {
    return clause('register', placeInRegister(voicing, frame));
  }
  if (preset.parallel !== undefined && !list.voicings.includes(voicing)) {
    return clause('planing', `the shape of ${last.sounds} moves along with the root`);
  }
  const resolved = resolutions(last, placed);
  const kept = notes
    .filter((_, voice) => last.voicing.notes.includes(voicing.notes[voice] ?? -1))
    .map(({ name }) => name);
  if (resolved.length > 0) {
    const all = [...resolved, ...(kept.length > 0 ? [stays(kept)] : [])];
    return clause('resolution', all.join(', '));
  }
  if (kept.length === 0) return undefined;
  return clause('common tones', `${stays(kept)} from ${last.sounds}`);
}
