/** The engraver's own process: a wish on standard input, its answer on standard output, both as JSON. */
import { engrave } from './engrave.ts';
import type { EngraverOrder } from './engrave-apart.ts';

let text = '';
process.stdin.setEncoding('utf8');
for await (const chunk of process.stdin) text += chunk;
const { musicXml, wish } = JSON.parse(text) as EngraverOrder;
process.stdout.write(JSON.stringify(await engrave(musicXml, wish)));
