/** The quiet line: connection, clock, recording, how the player's chords land, how fast they are answered. */
import type { StageState } from '../io/engine/stage-state.ts';
import type { Arrivals } from './arrivals.ts';
import { type Look, signsOf } from './look.ts';
import { portSpans } from './ports-line.ts';
import { rehearsalSpans } from './rehearsal-line.ts';
import type { StageModel } from './stage-model.ts';
import { cutTo, type Span, widthOf } from './text.ts';
import type { InHand } from './view.ts';

function clockText(look: Look, { tempo }: StageState): string {
  if (tempo === undefined) return '';
  const { beatsPerMinute, isRunning, bar, beat } = tempo;
  if (beatsPerMinute === undefined && !isRunning) return '';
  const sign = look.hasUnicode ? '♩' : 'tempo';
  const speed = beatsPerMinute === undefined ? '' : `${sign} ${Math.round(beatsPerMinute)}`;
  const place = isRunning ? `bar ${bar} beat ${beat}` : 'stopped';
  return [speed, place].filter(Boolean).join(', ');
}

/** What gathering has learned of the player. In rehearsal nobody's hand is there to learn from. */
function learnedText({ state: { snapshot }, mode }: StageModel): string {
  const { keys, spreadMicroseconds } = snapshot.learned;
  if (snapshot.chords.length === 0 || mode === 'rehearsal') return '';
  return `you strike ${keys} keys within ${Math.max(1, Math.round(spreadMicroseconds / 1000))} ms`;
}

function answerText({ answer }: StageState): string {
  if (answer === undefined) return '';
  return `answered in ${(answer.medianMicroseconds / 1000).toFixed(1)} ms`;
}

/** '● recording 1:05', minutes and seconds. */
function recordingText(look: Look, { recordedSeconds }: StageModel): string {
  if (recordedSeconds === undefined) return '';
  const seconds = String(recordedSeconds % 60).padStart(2, '0');
  return `${signsOf(look).on} recording ${Math.floor(recordedSeconds / 60)}:${seconds}`;
}

function doingText(look: Look, model: StageModel): readonly string[] {
  return [
    recordingText(look, model),
    model.isDemoPlaying ? 'demo playing' : '',
    model.recording === undefined ? '' : `writing ${cutTo(look, model.recording, 24)}`,
  ];
}

/** 'in ○ Handspan in, arriving   out ○ Handspan out, sending'. */
const portsWithNames = 56;

export function statusSpans(
  look: Look,
  model: StageModel,
  arrivals: Arrivals,
  nowMs: number,
  width: number,
  inHand: InHand,
): readonly Span[] {
  const { state } = model;
  const parts = [...doingText(look, model), clockText(look, state), answerText(state)].filter(
    (part) => part !== '',
  );
  const between = ` ${look.hasUnicode ? '·' : '|'} `;
  // The ports come first and give way last: a good third of the line is theirs.
  let rest = '';
  for (const part of parts) {
    const longer = rest === '' ? part : `${rest}${between}${part}`;
    if (widthOf(longer) > width * 0.62) break;
    rest = longer;
  }
  // Only where the ports keep their names.
  const learned = learnedText(model);
  const all = rest === '' || learned === '' ? rest + learned : `${rest}${between}${learned}`;
  if (widthOf(all) + 3 <= width - portsWithNames) rest = all;
  const room = width - (rest === '' ? 0 : widthOf(rest) + 3);
  const ports =
    model.mode === 'rehearsal'
      ? rehearsalSpans(look, model, inHand, room)
      : portSpans(look, model, arrivals, nowMs, room);
  const used = ports.reduce((sum, span) => sum + widthOf(span.text), 0);
  return [
    ...ports,
    { text: ' '.repeat(Math.max(0, room - used)) },
    { text: rest === '' ? '' : `   ${rest}`, tone: 'quiet' },
  ];
}

/** The pages, the present one pointed at. */
export function pageSpans(look: Look, pages: readonly string[], present: string): readonly Span[] {
  return pages.flatMap((page): readonly Span[] => {
    const isPresent = page === present;
    const sign = isPresent ? signsOf(look).pointRight : ' ';
    return [{ text: ` ${sign}${page} `, tone: isPresent ? 'strong' : 'quiet' }];
  });
}
