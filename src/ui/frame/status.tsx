/** How things are, quiet: recording, ports or what the number keys play, clock, answer, hand. */
import type { PortState, StageState } from '../../io/engine/stage-state.ts';
import { type Arrivals, isBusy } from '../arrivals.ts';
import type { Tone } from '../look.ts';
import type { StageModel } from '../stage-model.ts';
import { cutTo, widthOf } from '../text.ts';
import type { InHand } from '../view.ts';
import { music, Run, Words } from './words.tsx';

type Part = { readonly text: string; readonly tone: Tone };

function part(text: string, tone: Tone = 'quiet'): readonly Part[] {
  return text === '' ? [] : [{ text, tone }];
}

/** '● recording 1:05', minutes and seconds. */
function recordingText({ recordedSeconds }: StageModel): string {
  if (recordedSeconds === undefined) return '';
  const seconds = String(recordedSeconds % 60).padStart(2, '0');
  return `● recording ${Math.floor(recordedSeconds / 60)}:${seconds}`;
}

function clockText({ tempo }: StageState): string {
  if (tempo === undefined) return '';
  const { beatsPerMinute, isRunning, bar, beat } = tempo;
  if (beatsPerMinute === undefined && !isRunning) return '';
  const speed = beatsPerMinute === undefined ? '' : `♩ ${Math.round(beatsPerMinute)}`;
  const place = isRunning ? `bar ${bar} beat ${beat}` : 'stopped';
  return [speed, place].filter(Boolean).join(', ');
}

/** The sign alone must never be needed: a word says the same. */
function portWords(port: PortState, arrivals: Arrivals, nowMs: number, hasNames: boolean): Part {
  const name =
    hasNames && !port.isVirtual
      ? ` ${cutTo({ hasColour: false, hasUnicode: true }, port.name, 24)}`
      : '';
  const at = `${port.direction}${name}`;
  if (!port.isOpen) return { text: `× ${port.direction} ${port.name} gone`, tone: 'caution' };
  if (isBusy(arrivals, port, nowMs)) {
    const word = port.direction === 'in' ? 'arriving' : 'sending';
    return { text: `● ${at} ${word}`, tone: 'sounding' };
  }
  const word = port.messages > 0 ? 'quiet' : port.direction === 'in' ? 'waiting' : 'ready';
  return { text: `○ ${at} ${word}`, tone: 'plain' };
}

function portsParts(model: StageModel, arrivals: Arrivals, nowMs: number, hasNames: boolean) {
  // Gone ports first: with many ports, those are the ones that must be seen.
  const { ports } = model.state;
  const ordered = [...ports].sort((a, b) => Number(a.isOpen) - Number(b.isOpen));
  return ordered.map((port) => portWords(port, arrivals, nowMs, hasNames));
}

/** No ports: what the number keys play. */
function rehearsalParts(
  { rehearsal, state }: StageModel,
  inHand: InHand,
  width: number,
): readonly Part[] {
  if (rehearsal === undefined) return part('rehearsal, no ports');
  const { key, chordType, inversion } = rehearsal;
  const pointed = (text: string, what: InHand['type']): Part =>
    inHand.type === what ? { text: `▸${text}◂`, tone: 'strong' } : { text, tone: 'quiet' };
  // Which chords they are is said also where no key is set: then they are of none.
  const played = `1–7 ${state.snapshot.key === '' ? 'as' : 'in'} ${music(key)}`;
  const inRoot = inversion === 'root position' && inHand.type !== 'inversion';
  const parts = [
    { text: `${width < 27 ? '' : 'rehearsal, '}${played}`, tone: 'quiet' } as const,
    pointed(chordType, 'chordType'),
    ...(inRoot ? [] : [pointed(inversion, 'inversion')]),
  ];
  // What the arrows step through must be seen.
  return [...parts].sort((a, b) => Number(b.tone === 'strong') - Number(a.tone === 'strong'));
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

type StatusProps = {
  readonly model: StageModel;
  readonly arrivals: Arrivals;
  readonly nowMs: number;
  readonly inHand: InHand;
  readonly width: number;
};

const between = '  ';

/** As many parts as stand whole, in the order of their worth. */
function fitting(parts: readonly Part[], width: number): readonly Part[] {
  let used = 0;
  return parts.filter(({ text }, place) => {
    const wide = widthOf(text) + (used === 0 ? 0 : between.length);
    if (place > 0 && used + wide > width) return false;
    used += wide;
    return true;
  });
}

export function StatusWords({ model, arrivals, nowMs, inHand, width }: StatusProps) {
  const isRehearsal = model.mode === 'rehearsal';
  const places = isRehearsal
    ? rehearsalParts(model, inHand, width)
    : portsParts(model, arrivals, nowMs, width >= 50);
  const none = !isRehearsal && places.length === 0 ? part('no ports open', 'caution') : [];
  const recording = model.recording === undefined ? '' : `writing ${model.recording}`;
  const parts = fitting(
    [
      ...part(model.state.snapshot.isListening === true ? '● listening' : '', 'caution'),
      ...part(recordingText(model), 'caution'),
      ...none,
      ...places,
      ...part(clockText(model.state)),
      ...part(model.isDemoPlaying ? 'demo' : ''),
      ...part(answerText(model.state)),
      ...part(recording),
      ...part(learnedText(model)),
    ],
    width,
  );
  return (
    <Words>
      {parts.map(({ text, tone }, place) => (
        <Run key={text} tone={tone}>{`${place === 0 ? '' : between}${text}`}</Run>
      ))}
    </Words>
  );
}
