/**
 * The set-up page of a session: ports, key and registers, controls, zones, looks, keys of the
 * screen; and MIDI learn: controls and ranges from what is moved and played.
 */

import type { PortWishes } from '../../io/engine/worker-messages.ts';
import type { PortNames } from '../../io/ports/port-names.ts';
import { type Controls, controlProblems, keyRanges } from '../../live/controllers/controls.ts';
import type { Register } from '../../presets/preset.ts';
import { parseRegister } from '../../presets/register.ts';
import type { FormRow } from '../../ui/form-row.ts';
import { keyInWords } from '../../ui/keys/key-label.ts';
import { bindingProblems, movableKeys } from '../../ui/keys/keys.ts';
import type { PlaySession } from '../session.ts';
import { beginMidiLearn, learnFrom, type MidiLearn } from './midi-learn.ts';
import { capital, rangeProblem, type SetUpRow, typedHelp } from './row.ts';
import { setUpRows } from './rows.ts';

export type SetUpSurroundings = {
  /** The ports there are, or a sentence why none can be told. */
  readonly listPorts: () => Promise<PortNames | string>;
  /** Opens other ports; a sentence, '' when it went well. */
  readonly openPorts: (wishes: PortWishes) => Promise<string>;
};

const keyRowPrefix = 'keys.';

export class SetUp {
  readonly #session: PlaySession;
  readonly #surroundings: SetUpSurroundings;
  #names: PortNames = { inputs: [], outputs: [] };
  /** What was chosen in rehearsal, until there is an input as well as an output. */
  #chosen: PortWishes = { isVirtualInput: false, isVirtualOutput: false, from: [], to: [] };
  #midiLearn: MidiLearn | undefined;
  #refusal: { readonly id: string; readonly problem: string } | undefined;

  constructor(session: PlaySession, surroundings: SetUpSurroundings) {
    this.#session = session;
    this.#surroundings = surroundings;
    session.subscribe(() => this.#lookAtSnapshot());
  }

  get rows(): readonly FormRow[] {
    const fixed = setUpRows.map((row) => this.#rowOf(row));
    const all = [...this.#portRows(), ...fixed, ...this.#keyRows()];
    // A group heads its first row only.
    return all.map(({ group, ...row }, place) => ({
      ...row,
      ...(group !== undefined && group !== all[place - 1]?.group && { group }),
    }));
  }

  async lookForPorts(): Promise<void> {
    const names = await this.#surroundings.listPorts();
    if (typeof names === 'string') this.#session.say(names);
    else this.#names = names;
    this.#session.say(typeof names === 'string' ? names : '');
  }

  step(id: string, step: 1 | -1): void {
    this.stopLearning();
    if (id.startsWith('port.')) {
      void this.#togglePort(id);
      return;
    }
    const row = setUpRows.find((each) => each.id === id);
    this.#answer(id, row?.step?.(this.#session, step) ?? '');
  }

  type(id: string, text: string): void {
    if (id.startsWith(keyRowPrefix)) {
      this.#moveKey(id.slice(keyRowPrefix.length), text);
      return;
    }
    if (text === '') return;
    const row = setUpRows.find((each) => each.id === id);
    if (row?.learns === 'range') this.#takeTyped(row, text);
    else this.#answer(id, row?.type?.(this.#session, text) ?? '');
  }

  /** What would be wrong with a text typed into a row, or ''. */
  problemOf(id: string, text: string): string {
    const row = setUpRows.find((each) => each.id === id);
    return row?.learns === 'range' ? rangeProblem(text) : '';
  }

  clear(id: string): void {
    this.stopLearning();
    if (id.startsWith(keyRowPrefix)) {
      const { [id.slice(keyRowPrefix.length)]: _, ...keys } = this.#session.memory.keys ?? {};
      this.#session.remember({ ...this.#session.memory, keys });
      this.#answer(id, '');
      return;
    }
    const row = setUpRows.find((each) => each.id === id);
    this.#answer(id, row?.clear?.(this.#session) ?? '');
  }

  learn(id: string): void {
    const row = setUpRows.find((each) => each.id === id);
    if (row?.learns === undefined) return;
    if (row.learns === 'control' && this.#session.ports === undefined) {
      this.#session.say(
        'In rehearsal no pedal or button can move: start with MIDI ports to bind one.',
      );
      return;
    }
    this.#refusal = undefined;
    this.#midiLearn = beginMidiLearn(row.learns, id, this.#session.state.snapshot);
    const ask =
      row.learns === 'control'
        ? 'Move the pedal, button or fader to bind.'
        : 'Play the lowest and the highest key; Esc, then t, to type them.';
    this.#session.say(row.learns === 'control' ? `${ask} Esc: not now.` : ask);
  }

  stopLearning(): void {
    if (this.#midiLearn === undefined) return;
    this.#midiLearn = undefined;
    this.#session.say('');
  }

  // --- learning ---------------------------------------------------------------------------------

  #lookAtSnapshot(): void {
    if (this.#midiLearn === undefined) return;
    const { id } = this.#midiLearn;
    const learned = learnFrom(this.#midiLearn, this.#session.state.snapshot);
    if (learned.type === 'waiting') {
      this.#midiLearn = learned.learning;
      return;
    }
    this.#midiLearn = undefined;
    this.#session.say('');
    if (learned.type === 'control') {
      this.#bind(id, { [id.replace('controls.', '')]: learned.trigger });
    } else this.#takeRange(id, learned.range);
  }

  #takeTyped({ id }: SetUpRow, text: string): void {
    const parsed = parseRegister(text);
    if (parsed.ok) this.#takeRange(id, parsed.value);
    else this.#answer(id, capital(parsed.problem));
  }

  #takeRange(id: string, range: Register): void {
    const name = keyRanges.find((each) => id === `controls.${each}`);
    if (name !== undefined) this.#bind(id, { [name]: range });
    else {
      const row = setUpRows.find((each) => each.id === id);
      this.#answer(id, row?.learned?.(this.#session, range) ?? '');
    }
  }

  /** Refused with the reason now, never discovered on stage. */
  #bind(id: string, more: Controls): void {
    const { memory } = this.#session;
    const controls: Controls = { ...memory.controls, ...more };
    const [problem] = controlProblems(controls, this.#session.onStage);
    if (problem === undefined) this.#session.remember({ ...memory, controls });
    this.#answer(id, problem === undefined ? '' : capital(problem));
  }

  #answer(id: string, problem: string): void {
    this.#refusal = problem === '' ? undefined : { id, problem };
    this.#session.say(problem);
  }

  // --- keys of the screen -----------------------------------------------------------------------

  #moveKey(id: string, stroke: string): void {
    const { memory } = this.#session;
    const row = movableKeys.find((each) => each.id === id);
    // Of a pair only the first moves; the second stays where it is.
    const rest = (memory.keys?.[id] ?? row?.strokes ?? []).slice(1);
    const keys = { ...memory.keys, [id]: [stroke, ...rest.filter((each) => each !== stroke)] };
    const [problem] = bindingProblems(keys);
    if (problem === undefined) this.#session.remember({ ...memory, keys });
    this.#answer(`${keyRowPrefix}${id}`, problem ?? '');
  }

  #keyRows(): readonly FormRow[] {
    const { keys = {} } = this.#session.memory;
    return movableKeys.map((row): FormRow => {
      const id = `${keyRowPrefix}${row.id}`;
      const pages = row.isEditing === true ? 'editor' : (row.pages?.join(', ') ?? 'everywhere');
      return {
        id,
        group: 'keys of the screen',
        label: `${row.brief} (${pages})`,
        value: (keys[row.id] ?? row.strokes).map(keyInWords).join(', '),
        entry: 'stroke',
        help: `${row.help}. Return, then press the key it should have; x: as it was.`,
        ...this.#problemOf(id),
      };
    });
  }

  // --- ports ------------------------------------------------------------------------------------

  #portRows(): readonly FormRow[] {
    const isAnyThere = this.#names.inputs.length > 0 && this.#names.outputs.length > 0;
    const ports = this.#session.ports ?? (isAnyThere ? this.#chosen : undefined);
    if (ports === undefined) {
      return [
        {
          id: 'port.none',
          group: 'ports',
          label: 'rehearsal',
          value: 'no ports',
          entry: 'none',
          help: 'An input and an output can be chosen here once there are some: / looks for them.',
        },
      ];
    }
    const row = (id: string, label: string, isOpen: boolean, help: string): FormRow => ({
      id,
      group: 'ports',
      label,
      value: isOpen ? (this.#session.ports === undefined ? 'chosen' : 'open') : 'not used',
      entry: 'none',
      help,
      ...this.#problemOf(id),
    });
    const known = (names: readonly string[], wished: readonly string[]): readonly string[] => [
      ...new Set([...names.filter((name) => !name.startsWith('Handspan ')), ...wished]),
    ];
    const own = (id: string, label: string, isOpen: boolean, help: string): readonly FormRow[] =>
      this.#names.isVirtualPossible === false ? [] : [row(id, label, isOpen, help)];
    return [
      ...own(
        'port.in',
        'in  Handspan in',
        ports.isVirtualInput,
        'Our own input, for other programs to send to.',
      ),
      ...known(this.#names.inputs, ports.from).map((name) =>
        row(
          `port.in.${name}`,
          `in  ${name}`,
          ports.from.includes(name),
          'Listen to this input. / looks again for ports.',
        ),
      ),
      ...own(
        'port.out',
        'out Handspan out',
        ports.isVirtualOutput,
        'Our own output, for a DAW to listen to.',
      ),
      ...known(this.#names.outputs, ports.to).map((name) =>
        row(
          `port.out.${name}`,
          `out ${name}`,
          ports.to.includes(name),
          'Send to this output. / looks again for ports.',
        ),
      ),
    ];
  }

  async #togglePort(id: string): Promise<void> {
    if (id === 'port.none') return;
    const { ports } = this.#session;
    const wishes = toggled(ports ?? this.#chosen, id);
    const hasInput = wishes.isVirtualInput || wishes.from.length > 0;
    const hasOutput = wishes.isVirtualOutput || wishes.to.length > 0;
    if (ports === undefined) {
      this.#chosen = wishes;
      const missing = hasInput ? 'output' : 'input';
      const next = hasInput || hasOutput ? `Choose an ${missing} as well: they open together.` : '';
      this.#answer(id, hasInput && hasOutput ? await this.#surroundings.openPorts(wishes) : next);
      return;
    }
    if (!hasInput || !hasOutput) {
      this.#answer(id, 'One input and one output must stay open; open another one first.');
      return;
    }
    this.#answer(id, await this.#surroundings.openPorts(wishes));
  }

  // --- rows -------------------------------------------------------------------------------------

  #rowOf(row: SetUpRow): FormRow {
    const isLearning = this.#midiLearn?.id === row.id;
    const waiting = row.learns === 'control' ? 'move it now' : 'play lowest and highest';
    return {
      id: row.id,
      group: row.group,
      label: row.label,
      value: isLearning ? waiting : row.value(this.#session),
      entry: row.entry,
      canType: row.learns === 'range',
      help: this.#session.ports === undefined ? typedHelp(row.help) : row.help,
      isLearning,
      ...this.#problemOf(row.id),
    };
  }

  #problemOf(id: string): { readonly problem?: string } {
    return this.#refusal?.id === id ? { problem: this.#refusal.problem } : {};
  }
}

function toggled(ports: PortWishes, id: string): PortWishes {
  if (id === 'port.in') return { ...ports, isVirtualInput: !ports.isVirtualInput };
  if (id === 'port.out') return { ...ports, isVirtualOutput: !ports.isVirtualOutput };
  const without = (names: readonly string[], name: string): readonly string[] =>
    names.includes(name) ? names.filter((each) => each !== name) : [...names, name];
  return id.startsWith('port.in.')
    ? { ...ports, from: without(ports.from, id.slice('port.in.'.length)) }
    : { ...ports, to: without(ports.to, id.slice('port.out.'.length)) };
}
