/**
 * What there is to say of a lead that is written and cannot be meant so: one that the voicing has not,
 * and one that lies where no melody does. One sentence: what, and what to do.
 */
import limitsData from '../../shared/voicing-limits.json' with { type: 'json' };
import { spellInKey } from '../harmony/chord/spelling.ts';
import type { Key } from '../harmony/key/key.ts';
import { ascent, has } from '../harmony/pitch/pitch-class-set.ts';
import { formatNote } from '../harmony/pitch/pitch-name.ts';
import type { VoicedChord } from './voice.ts';

const { lowestLead, highestLead } = limitsData.limits;

/** '' where the lead is on top, or none is written. */
export function leadRemark({ chord, sounding }: VoicedChord, key: Key | undefined): string {
  const { lead, text } = chord;
  if (lead === undefined || sounding === undefined) return '';
  const name = (note: number): string => formatNote(note, spellInKey(note % 12, key));
  const { harmony, voicing } = sounding;
  const melody = `The melody ${name(lead)}`;
  if (lead < lowestLead.value || lead > highestLead.value) {
    const [where, limit] =
      lead < lowestLead.value ? ['below', lowestLead.value] : ['above', highestLead.value];
    return `${melody} over '${text}' lies ${where} ${name(limit)}, where nobody sings or plays one; write it in another octave.`;
  }
  const top = voicing.upper.at(-1) ?? 0;
  if (top === lead) return '';
  const isTone = has(harmony.palette.universe, ascent(harmony.chord.root, lead % 12));
  return isTone
    ? `${melody} has no voicing of '${text}' below it here, and ${name(top)} is on top; choose another technique for this chord, or a wider register.`
    : `${melody} is no tone of '${text}', nor a tension that it takes, and ${name(top)} is on top; write another note, or a symbol that has it.`;
}
