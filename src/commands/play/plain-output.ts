/**
 * Playing without a screen: one line per chord on standard output, and on standard error what goes
 * wrong on stage, such as a port that vanishes; as JSON all of it is lines of standard output.
 */
import type { Streams } from '../../cli/command.ts';
import type { PortState, StageState } from '../../io/engine/stage-state.ts';
import type { ChordReport, Snapshot, TakenShape } from '../../live/snapshot.ts';
import { latchSentence, listenSentence, shapeSentence } from '../../session/choice-sentence.ts';
import { Answering } from './answering.ts';
import { chordJson, chordLine, shapeJson } from './chord-lines.ts';
import { sayerOf } from './said.ts';

export type PlainOutput = {
  readonly onReports: (reports: readonly ChordReport[]) => void;
  readonly onState: (
    state: Pick<StageState, 'ports' | 'notice'> & {
      readonly snapshot?: Pick<Snapshot, 'said' | 'isLatched' | 'isListening' | 'shape'>;
    },
  ) => void;
};

/** "The input 'Stage keys' is gone; what it held is released." */
function portSentence({ direction, name, isOpen }: PortState): string {
  if (direction === 'out') return `The output '${name}' is ${isOpen ? 'back' : 'gone'}.`;
  return `The input '${name}' is ${isOpen ? 'back' : 'gone; what it held is released'}.`;
}

/** Times count from the first chord's session start, which the first report is measured against. */
export function createPlainOutput(
  streams: Streams,
  isJson: boolean,
  answering = new Answering(),
): PlainOutput {
  let start: number | undefined;
  const gone = new Set<string>();
  let noticed = '';
  let told = 0;
  let wasLatched: boolean | undefined;
  let wasListening = false;
  let shapes = 0;
  const say = sayerOf(streams, isJson);
  /** A sentence of the engine's: where an order waits for one, it is the answer. */
  const answer = (sentence: string, isRefused = false) => {
    say(sentence, answering.order, isRefused);
    answering.tell();
  };
  const sayLatch = (isLatched: boolean) => {
    if (isLatched !== (wasLatched ?? isLatched)) answer(latchSentence(isLatched));
    wasLatched = isLatched;
  };
  const sayListening = (isListening: boolean) => {
    if (isListening !== wasListening) answer(listenSentence(isListening));
    wasListening = isListening;
  };
  const writeShape = (shape: TakenShape | undefined) => {
    if (shape === undefined || shape.count === shapes) return;
    shapes = shape.count;
    streams.stdout.write(`${isJson ? shapeJson(shape) : shapeSentence(shape)}\n`);
  };
  return {
    onState({ ports, notice, snapshot }) {
      for (const port of ports) {
        const id = `${port.direction} ${port.name}`;
        if (port.isOpen !== gone.has(id)) continue;
        if (port.isOpen) gone.delete(id);
        else gone.add(id);
        say(portSentence(port));
      }
      if (notice !== noticed && notice !== '') say(notice);
      noticed = notice;
      sayLatch(snapshot?.isLatched === true);
      sayListening(snapshot?.isListening === true);
      writeShape(snapshot?.shape);
      const { count = 0, sentences = [] } = snapshot?.said ?? {};
      const fresh = Math.min(Math.max(0, count - told), sentences.length);
      for (const sentence of sentences.slice(sentences.length - fresh)) {
        answer(sentence, answering.refuse());
      }
      told = count;
    },
    onReports(reports) {
      for (const report of reports) {
        start ??= report.atMicroseconds;
        const isAnswer = report.choice !== undefined || report.kept !== undefined;
        const order = isAnswer ? answering.order : undefined;
        const line = isJson ? chordJson(report, start, order) : chordLine(report, start);
        streams.stdout.write(`${line}\n`);
        if (isAnswer) answering.tell();
      }
    },
  };
}
