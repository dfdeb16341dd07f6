/** What `handspan name` prints for people: a few lines each. */

import type { NamedNotes, NamedReading } from '../../harmony/naming/naming.ts';
import { intervalName } from '../../harmony/pitch/interval.ts';
import type { SymbolFacts } from '../../harmony/symbol/symbol-facts.ts';

/** Other readings worth a mention. */
const mostOthers = 4;

type InKey = { readonly numeral?: string; readonly function?: string };

/** ', V7/ii, secondary dominant in the key'; '' where none was asked about. */
function inKey({ numeral = '', function: role }: InKey): string {
  if (role === undefined) return '';
  const degree = numeral === '' ? '' : `, ${numeral}`;
  return `${degree}, ${role === 'none' ? 'no function' : role} in the key`;
}

type Named = InKey & Pick<NamedReading, 'symbol' | 'root' | 'bass'>;

function nameLine(named: Named): string {
  const { symbol, root, bass } = named;
  const over = bass === root ? '' : `, bass ${bass}`;
  return `${symbol}  (root ${root}${over}${inKey(named)})`;
}

export function describeNotes({ notes, readings, technique }: NamedNotes): string[] {
  const [best, ...others] = readings;
  if (best === undefined) return [];
  const tones = notes.map(({ name }, index) => `${name} ${best.degrees[index] ?? ''}`);
  const lines = [
    nameLine(best),
    `  tones    ${tones.join(', ')}`,
    `  missing  ${best.omitted.length === 0 ? 'nothing' : best.omitted.join(', ')}`,
    `  built    ${technique.label}`,
  ];
  const also = others.slice(0, mostOthers).map(({ symbol }) => symbol);
  if (also.length > 0) lines.push(`  also     ${also.join(', ')}`);
  return lines;
}

/** What fewer than three different notes are; undefined for more. */
export function describeFewNotes({ notes, readings }: NamedNotes): string[] | undefined {
  const [lowest, ...others] = [...notes].sort((one, other) => one.midi - other.midi);
  if (lowest === undefined) return undefined;
  const different = new Set(notes.map(({ midi }) => midi % 12)).size;
  const top = others.at(-1);
  if (top === undefined || top.midi === lowest.midi) {
    return [`${lowest.name} alone: a note, no chord`];
  }
  if (different === 1) return [`${lowest.name} and its octaves: one note, no chord`];
  if (different > 2) return undefined;
  const second = others.find(({ midi }) => midi % 12 !== lowest.midi % 12) ?? top;
  const symbols = readings.map(({ symbol }) => symbol).slice(0, mostOthers);
  return [
    `${lowest.name} ${second.name}: ${intervalName(lowest, second)}, no whole chord`,
    `  could be part of  ${symbols.join(', ')}`,
  ];
}

function listed(members: readonly string[]): string {
  return members.length === 0 ? 'none' : members.join(', ');
}

export function describeSymbol(facts: SymbolFacts & InKey): string[] {
  return [
    nameLine(facts),
    `  tones     ${facts.tones.map(({ name, degree }) => `${name} ${degree}`).join(', ')}`,
    `  tensions  ${listed(facts.tensions)}`,
    `  care      ${listed(facts.care)}`,
    `  also      ${listed(facts.aliases)}`,
  ];
}
