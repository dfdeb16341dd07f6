/** A process that keeps 200 voicings by orders and then waits to be killed: `FOLDER`. */
import { rehearseIn } from './rehearsal.ts';

const [folder = ''] = process.argv.slice(2);
const order = rehearseIn(folder, 'drop-2-sevenths');
const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const types = '|m|7|maj7|m7|m7b5|6|m6|9|m9|maj9|13|7b9|sus4|7sus4|aug|add9'.split('|');
const chords = types.flatMap((type) => roots.map((root) => `${root}${type}`)).slice(0, 200);
for (const chord of chords) {
  const { lines } = await order(`play ${chord}`, 'keep voicing chord');
  process.stdout.write(`${lines.at(-1)?.kept?.chord}\n`);
}
setInterval(() => {}, 1000);
