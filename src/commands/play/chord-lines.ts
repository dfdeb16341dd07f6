/** One chord as one line: for a log, a pipe or a braille display. */
import { given } from '../../common/given.ts';
import { counted } from '../../common/words.ts';
import type { ChordReport, TakenShape } from '../../live/snapshot.ts';
import { writtenAgainst } from '../../ui/against-written.ts';

/** '01:03.250', from the start of the session. */
export function formatTime(microseconds: number): string {
  const milliseconds = Math.max(0, Math.round(microseconds / 1000));
  const minutes = Math.floor(milliseconds / 60_000);
  const seconds = (milliseconds % 60_000) / 1000;
  return `${String(minutes).padStart(2, '0')}:${seconds.toFixed(3).padStart(6, '0')}`;
}

/** Time, heard, sent, preset. */
export function chordLine(report: ChordReport, startMicroseconds: number): string {
  const { heard, sent, isRevoiced, choice, isUnheard } = report;
  const time = formatTime(report.atMicroseconds - startMicroseconds);
  const beside = (heard.beside ?? []).map(({ name, part }) => ` + ${name} ${part ?? ''}`).join('');
  const at = placeText(report);
  const held = `${heard.notes.map(({ name }) => name).join(' ')}${beside}`;
  if (report.played !== undefined) return playedLine(report, report.played.span, time);
  if (heard.symbol === '') return `${time}  ${held}  ->  as played  [${report.preset}]${at}`;
  const voices = sent.voices.map(({ name, degree }) => `${name}(${degree})`).join(' ');
  const givenUp = sent.relaxed.length === 0 ? '' : `; given up: ${sent.relaxed.join(', ')}`;
  const bass = sent.lostBass === undefined ? '' : `; not over ${sent.lostBass} as held`;
  const absent = sent.leftOut === undefined ? '' : `; left out: ${sent.leftOut.join(', ')}`;
  const place =
    choice &&
    ` (${choice.by} ${choice.index} of ${choice.of}${isUnheard ? ', when played next' : ''})`;
  const anew =
    report.kept !== undefined ? ' (kept)' : (place ?? (isRevoiced ? ' (voiced anew)' : ''));
  return `${time}  ${heard.symbol}${anew}  ${held}  ->  ${sent.symbol}  ${voices}  ${sent.label}${bass}${absent}${givenUp}  [${report.preset}]${at}`;
}

/** Nothing was voiced: what was played, its technique and how far its voices span. */
function playedLine(report: ChordReport, span: number, time: string): string {
  const { symbol, voices, label } = report.sent;
  const notes = voices.map(({ name, degree }) => `${name}(${degree})`).join(' ');
  return `${time}  ${symbol}  ${notes}  =  ${label}; span ${counted(span, 'semitone')}  [listening]${placeText(report)}`;
}

/**
 * '  bar 12.1, chorus 2: G13', with a question mark where that is not sure, 'not G13' where another
 * chord is played; '' without a tune.
 */
function placeText(report: ChordReport): string {
  const { place, written = '' } = report;
  if (place === undefined) return '';
  const against = writtenAgainst(report) === '' ? '' : 'not ';
  const chorus = place.chorus > 1 ? `, chorus ${place.chorus}` : '';
  return `  bar ${place.bar}.${place.beat}${chorus}${place.isUnsure ? '?' : ''}: ${against}${written}`;
}

/** The same as one JSON value; times in seconds. */
export function chordJson(report: ChordReport, startMicroseconds: number, order?: string): string {
  const { heard, sent } = report;
  return JSON.stringify({
    time: Math.max(0, report.atMicroseconds - startMicroseconds) / 1e6,
    // What it answers.
    ...given('order', order),
    heard: {
      symbol: heard.symbol,
      runnerUp: heard.runnerUp,
      notes: heard.notes.map(({ note, name, part = 'chord' }) => ({ midi: note, name, part })),
      ...(heard.beside !== undefined && {
        beside: heard.beside.map(({ note, name, part }) => ({ midi: note, name, part })),
      }),
    },
    sent: {
      symbol: sent.symbol,
      label: sent.label,
      technique: sent.technique ?? '',
      givenUp: sent.relaxed,
      leftOut: sent.leftOut ?? [],
      ...(sent.lostBass !== undefined && { lostBass: sent.lostBass }),
      notes: sent.voices.map(({ note, name, degree, part, velocity }) => ({
        midi: note,
        name,
        degree,
        part,
        velocity,
      })),
    },
    preset: report.preset,
    ...(report.place !== undefined && { place: report.place, written: report.written }),
    // It sounded as it was played: `sent` is what was held, named.
    ...(report.played !== undefined && { listened: true, span: report.played.span }),
    ...(report.isRevoiced && { isRevoiced: true }),
    ...(report.choice !== undefined && { choice: report.choice }),
    ...(report.isUnheard && { isUnheard: true }),
    ...(report.kept !== undefined && { kept: { for: report.kept.for, chord: report.kept.chord } }),
  });
}

/** A shape from the hands as one JSON value. */
export function shapeJson({ text, chord, technique, label, notes, others }: TakenShape): string {
  const named = notes.map(({ note, name }) => ({ midi: note, name }));
  return JSON.stringify({ shape: text, chord, technique, label, notes: named, others });
}
