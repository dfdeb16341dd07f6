/** `handspan help TOPIC`: what belongs to no single command. Lines of at most 80 columns. */

import { syntax, syntaxExample, syntaxNotes } from '../../chart/syntax.ts';
import { formatRows } from '../../cli/help.ts';
import { wrapText } from '../../common/words.ts';
import {
  type Instrument,
  instrumentById,
  instruments,
  namedEnsembles,
} from '../../ensemble/instruments.ts';
import { formatRegister } from '../../presets/register.ts';
import { keyLabel } from '../../ui/keys/key-label.ts';
import { keysIn } from '../../ui/keys/keys.ts';
import { pages } from '../../ui/view.ts';

type Topic = {
  readonly name: string;
  readonly summary: string;
  /** Paragraphs. */
  readonly text: () => readonly string[];
};

const columns = 80;
const look = { hasColour: false, hasUnicode: false };

function paragraphs(...texts: readonly string[]): readonly string[] {
  return texts.flatMap((text) => [...wrapText(text, columns), '']);
}

function keysOf(page: (typeof pages)[number], isEditing: boolean): readonly string[] {
  const heading = isEditing ? `${page}, while editing` : page;
  const held = (['ports', 'rehearsal'] as const).flatMap((mode) =>
    keysIn(mode, { page, isEditing }),
  );
  const rows = [...new Set(held)].map(
    (row) => [keyLabel(look, row, undefined), `${row.help} [${row.id}]`] as const,
  );
  return [`${heading}:`, ...formatRows(rows), ''];
}

/** 'alto sax, alto sax, tenor sax'. */
function namesOf(ids: readonly string[]): string {
  return ids.map((id) => instrumentById(id).name.toLowerCase()).join(', ');
}

/** By the words that --for takes: 'alto' alone could be a saxophone. */
function instrumentRow(instrument: Instrument): readonly [string, string] {
  const { id, family, range, comfortable } = instrument;
  const name = id.replaceAll('-', ' ');
  const isVoice = family === 'voice' && name !== 'mezzo soprano';
  const called = isVoice ? `${name} voice` : name;
  return [called, `${formatRegister(comfortable)} (${formatRegister(range)})`];
}

const topics: readonly Topic[] = [
  {
    name: 'exit-codes',
    summary: 'What a script may rely on',
    text: () => [
      ...formatRows([
        ['0', 'fine'],
        ['1', 'failed: what the command line names is missing or broken, or the work failed'],
        ['2', 'misused: the command line itself is wrong'],
      ]),
      '',
      ...paragraphs(
        'Results go to standard output, everything about them to standard error. Where --json is offered the answer is JSON; nothing else is written on standard output then.',
      ),
    ],
  },
  {
    name: 'keys',
    summary: 'Every key of the screen, and how to move one',
    text: () => [
      ...pages.flatMap((page) => keysOf(page, false)),
      ...keysOf('presets', true),
      ...paragraphs(
        'A key is moved on the set-up page, or in settings.json by the name in brackets: "keys": { "panic": [";"] }. Figures and Ctrl C stay where they are. Two keys of one page cannot be the same; such settings are refused with a sentence.',
      ),
    ],
  },
  {
    name: 'rehearsal',
    summary: 'Playing from the computer keyboard',
    text: () =>
      paragraphs(
        'Without a MIDI system, or with play --rehearse, the number keys 1 to 7 play the chords on the degrees of the key; 0 lets go, the space bar sounds the last chord again, Return takes chords by their names (Eb7/G). t goes to the next chord type (triads and sevenths of the key, major, minor, single sevenths, diminished, augmented, suspended), i to the next inversion; then the arrows left and right go back and on, and the next number key plays it. The degrees are of the key that is set; while the key is followed they stay where they are, and following it anew (k) takes them to the key heard. d plays a built-in performance in blocks, g one for two hands (a melody over chords with the pedal, then a walking bass); both in the major key that is set, else in D flat and E flat.',
        'Where the terminal speaks the kitty keyboard protocol, a chord ends when its key comes up; elsewhere it sounds until the next one.',
      ),
  },
  {
    name: 'controls',
    summary: 'Pedals, buttons and keys that choose presets or silence everything',
    text: () =>
      paragraphs(
        'On the set-up page (Tab), point at what should happen, press Return, and move the pedal, button or fader. A switch counts as pressed from value 64 on, as MIDI 1.0 reads switches. A control that is bound goes no further; the sustain pedal, All Sound Off and All Notes Off cannot be bound.',
        'Keys that choose presets are taught by playing the lowest and the highest of them. They must lie outside the zone that plays chords.',
        'A new preset takes hold at the next chord, or at once with the fewest changes: play --switching at-once, or its row on the set-up page.',
        'A control can latch: what sounds stays until the next chord, and pressed again it ends where no key holds it. One can listen: what you play sounds as played and is named, nothing is revoiced, and pressed again chords are voiced. Controls can also turn to another voicing, bass, technique, lead or number of voices of the chord that sounds, on and back: each is a row of the set-up page.',
        'With a tune on the stage (play --chart) a control can play its next chord for as long as it is down, let any key do so, and move the place: a chord on or back, to the section after or before, to the top. A range of keys can play the next chord while the other hand has a melody, another one goes to the sections, the lowest key to the first. A song position sets the place, too.',
      ),
  },
  {
    name: 'looks',
    summary: 'Colour, contrast, light backgrounds, screen readers, small terminals',
    text: () =>
      paragraphs(
        "play --theme light is for a light background, --theme contrast uses no grey and no colour. NO_COLOR in the environment leaves colour out. Colours are those of the terminal's own 16; none is the only sign of anything, and nothing flashes.",
        'play --screen-reader (or INK_SCREEN_READER=true) draws nothing: it writes a sentence for whatever is new. --plain writes one line a chord.',
        'The screen needs 40 columns and 12 rows; from 60 by 18 on it has a staff, and it uses what there is. Without a UTF-8 locale it keeps to ASCII.',
      ),
  },
  {
    name: 'charts',
    summary: 'How a chord chart is written: every sign, and an example with all of them',
    text: () => [
      ...formatRows(syntax),
      '',
      ...paragraphs(syntaxNotes),
      'An example:',
      '',
      ...syntaxExample
        .trimEnd()
        .split('\n')
        .map((line) => `  ${line}`),
      '',
      ...paragraphs(
        'handspan chart FILE voices it; --chart FILE writes it as text again, with its comments and each symbol in one form.',
      ),
    ],
  },
  {
    name: 'players',
    summary: 'The sections and instruments that chart --for writes for, and their ranges',
    text: () => [
      'Sections:',
      ...formatRows(namedEnsembles.map(({ id, players }) => [id, namesOf(players)] as const)),
      '',
      'Instruments, as they sound: what is comfortable, and all of the range:',
      ...formatRows(instruments.map(instrumentRow)),
      '',
      ...paragraphs(
        'Several go with commas between, \'trumpet, 2 alto saxes, trombone\', sections among them. Sections of your own stand in settings.json: "sections": { "pit band": ["flute", "2 clarinets"] }. Ranges are those of good players: ask yours, and let a teacher say what a learner may do.',
      ),
    ],
  },
  {
    name: 'files',
    summary: 'Where settings, presets, charts and takes are kept',
    text: () =>
      paragraphs(
        "Settings and presets of your own live in your system's usual places; HANDSPAN_HOME puts all of it into one folder. 'handspan presets folder' says where presets are; charts and takes sent from the chords page lie beside them, under the date. Nothing is overwritten unless --force says so.",
        'What is changed while playing is remembered, beside what another Handspan that runs has changed meanwhile; what a command line says holds for that run, unless --remember says so.',
        "The last minutes that are in no take are kept as 'last minutes', those of ten sessions before with their dates. While a disk is full, what is played waits in memory and is written when there is room; at the end it goes where there is room, and it is said where.",
      ),
  },
];

export const topicNames: readonly string[] = topics.map((topic) => topic.name);

export const topicRows: readonly (readonly [string, string])[] = topics.map(
  ({ name, summary }) => [name, summary] as const,
);

/** The text of a topic, or undefined when there is none of that name. */
export function topicText(name: string): string | undefined {
  const topic = topics.find((each) => each.name === name);
  if (topic === undefined) return undefined;
  return `${topic.summary}\n\n${topic.text().join('\n').trimEnd()}\n`;
}
