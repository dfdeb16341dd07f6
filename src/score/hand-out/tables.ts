/** The tables of a hand-out: a row for each chord with its sentences, and what was measured. */
import type { Progression, ProgressionNote } from '../progression.ts';
import { escapeXml } from '../xml.ts';
import type { Blanks } from './blanks.ts';
import { printed } from './printed.ts';
import {
  type Blank,
  blank,
  type CitedRule,
  type HandOutRow,
  rowsOf,
  treatmentName,
  treatmentsOf,
} from './rows.ts';

export type TableWish = {
  readonly blanks: Blanks;
  readonly rules: ReadonlyMap<string, CitedRule>;
  /** Of the treatment; '' where it stands alone. */
  readonly name: string;
  /** What its rows play; undefined: nothing. */
  readonly buttons: { readonly piece: number; readonly treatment: number } | undefined;
};

const gap = '<span class="blank" role="img" aria-label="to fill in"></span>';

function filled(text: string | Blank): string {
  return text === blank ? gap : printed(text);
}

export function tableOf(progression: Progression, wish: TableWish): string {
  const rows = rowsOf(progression, wish.blanks);
  const about = wish.name === '' ? '' : ` aria-label="${escapeXml(wish.name)}"`;
  const heads = ['Bar', 'Chord', 'Sounds', 'Notes, low to high', 'Technique'];
  const head = heads.map((each) => `<th scope="col">${each}</th>`).join('');
  const body = rows.map((row, place) => tableRow(row, place, wish)).join('\n');
  return `<table${about}>\n<thead><tr>${head}</tr></thead>\n<tbody>\n${body}\n</tbody>\n</table>\n`;
}

function tableRow(row: HandOutRow, place: number, { buttons, rules, name }: TableWish): string {
  const { symbol, numeral, sounds, notes, voices, label, explanation } = row;
  const inKey = numeral === '' ? '' : `<br/><span class="numeral">${printed(numeral)}</span>`;
  const id = buttons && `${buttons.piece} ${buttons.treatment} ${place}`;
  const isSilent = notes !== blank && notes.length === 0;
  const cells = [
    `<td>${id === undefined || isSilent ? printed(row.place) : buttonFor(row, id, name)}</td>`,
    `<th scope="row" class="symbol">${filled(symbol)}${inKey}</th>`,
    `<td>${filled(sounds)}</td>`,
    `<td class="notes">${notes === blank ? gap.repeat(voices) : notes.map(noteCell).join(' ')}</td>`,
    `<td class="label">${filled(label)}</td>`,
  ];
  const marked = id === undefined ? '' : ` data-row="${id}"`;
  return `<tr${marked}>${cells.join('')}</tr>${explanation === undefined ? '' : whyRow(explanation, rules)}`;
}

/** What it is called says no more than the row does. */
function buttonFor({ place, symbol }: HandOutRow, id: string, name: string): string {
  const what = symbol === blank || symbol === '' ? 'the chord' : symbol;
  const told = [`${place}, ${what}`, name].filter((part) => part !== '').join(', ');
  return `<button type="button" class="chord" disabled="disabled" aria-pressed="false" data-play="${id}" data-told="${escapeXml(told)}" aria-label="${escapeXml(`Play ${told}`)}"><span class="sign" aria-hidden="true">▶ </span>${printed(place)}</button>`;
}

function whyRow(
  { built, why, rules: own }: NonNullable<HandOutRow['explanation']>,
  rules: ReadonlyMap<string, CitedRule>,
): string {
  const numbers = own.map(({ rule }) => rules.get(rule)?.number ?? 0).join(', ');
  return `\n<tr class="why"><td></td><td colspan="4">${printed(built)} ${printed(why)} [${numbers}]</td></tr>`;
}

function noteCell({ name, degree }: ProgressionNote): string {
  return `<span class="note">${printed(name)} <span class="degree">${printed(degree)}</span></span>`;
}

/** What was measured of each treatment, side by side; '' where nothing was. */
export function factTable(piece: Progression): string {
  const treatments = treatmentsOf(piece);
  const [first] = treatments;
  if (first?.facts === undefined) return '';
  const heads = treatments.map(
    (_, place) => `<th scope="col">${printed(treatmentName(piece, place))}</th>`,
  );
  const rows = first.facts.map(({ name }, row) => {
    const cells = treatments.map(
      ({ facts = [] }) => `<td>${printed(facts[row]?.value ?? '')}</td>`,
    );
    return `<tr><th scope="row">${printed(name)}</th>${cells.join('')}</tr>`;
  });
  return `<table>\n<caption>Measured</caption>\n<thead><tr><td></td>${heads.join('')}</tr></thead>\n<tbody>\n${rows.join('\n')}\n</tbody>\n</table>\n`;
}

/** What has to be said of the figures, once for all pieces. */
export function factNotesText(pieces: readonly Progression[]): string {
  const notes = new Set(pieces.flatMap(({ factNotes = [] }) => factNotes));
  return [...notes].map((note) => `<p class="facts">${printed(note)}</p>\n`).join('');
}
