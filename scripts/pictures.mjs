/**
 * Makes the README's pictures: runs the real program in a terminal (tmux), plays and turns pages as
 * a user would, and writes what stands on the screen as SVG, sign by sign.
 *
 *   node scripts/pictures.mjs [FOLDER]      FOLDER: where to; default shared/pictures
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { endWith, SetUpProblem, say } from './set-up/problem.mjs';
import { root } from './set-up/root.mjs';
import { setUp } from './set-up.mjs';

const socket = `handspan-pictures-${process.pid}`;
/** Em boxes of a monospaced letter, and the colours of a dark terminal; ours, after no program's. */
const cell = { width: 8.4, height: 18, size: 14 };
const paper = '#14171c';
const ink = '#d9dde3';
const palette = {
  31: '#e06c5f',
  34: '#6f9fe8',
  35: '#d38ad8',
  36: '#5cc4c4',
};

/** What is pressed before each picture; the words the screen must show before it is taken. */
const pictures = [
  {
    name: 'stage',
    size: [100, 30],
    steps: [['1'], ['6'], ['2'], ['5']],
    until: /V, dominant in E♭ major/,
  },
  {
    name: 'presets',
    size: [100, 30],
    steps: [['2'], ['5'], ['Tab'], ['/'], ['-l', 'tenths'], ['Enter']],
    until: /search: tenths/,
  },
  {
    name: 'chords',
    size: [100, 30],
    steps: [['1'], ['6'], ['2'], ['5'], ['3'], ['6'], ['4'], ['5'], ['1'], ['Tab'], ['Tab']],
    until: /heard +in key +sounded/,
  },
];

function tmux(...words) {
  return execFileSync('tmux', ['-L', socket, ...words], { encoding: 'utf8', stdio: 'pipe' });
}

async function see(pattern) {
  for (let tries = 0; tries < 200; tries++) {
    if (pattern.test(tmux('capture-pane', '-p', '-t', 'stage'))) return;
    await pause(100);
  }
  throw new SetUpProblem(`the screen never showed ${pattern}: look at scripts/pictures.mjs.`);
}

/** One screen as text with SGR codes (ECMA-48), by a program started afresh. */
async function capture({ size: [columns, rows], steps, until }) {
  const home = mkdtempSync(join(tmpdir(), 'handspan-pictures-'));
  const program = join(root, 'dist', 'cli.js');
  const command = `HANDSPAN_HOME=${home} LANG=C.UTF-8 ${process.execPath} ${program} play --rehearse --key Eb`;
  try {
    tmux('new-session', '-d', '-s', 'stage', '-x', `${columns}`, '-y', `${rows}`, command);
    await see(/Press 1 for a chord/);
    for (const step of steps) {
      tmux('send-keys', '-t', 'stage', ...step);
      await pause(400);
    }
    await see(until);
    return tmux('capture-pane', '-e', '-p', '-t', 'stage');
  } finally {
    spawnSync('tmux', ['-L', socket, 'kill-server']);
    rmSync(home, { recursive: true, force: true });
    await pause(300);
  }
}

const plain = { isBold: false, isDim: false, isReverse: false, colour: ink };

function withCode(style, code) {
  if (code === 0) return plain;
  if (code === 1) return { ...style, isBold: true };
  if (code === 2) return { ...style, isDim: true };
  if (code === 7) return { ...style, isReverse: true };
  if (code === 22) return { ...style, isBold: false, isDim: false };
  if (code === 39) return { ...style, colour: ink };
  return palette[code] === undefined ? style : { ...style, colour: palette[code] };
}

/** How SGR begins (ECMA-48): ESC [ codes m. */
const introducer = '\u001B[';

/** Stretches of a line in one style, each with its column. */
function stretchesOf(line) {
  const [first = '', ...rest] = line.split(introducer);
  const found = [{ text: first, column: 0, style: plain }];
  let style = plain;
  let column = [...first].length;
  for (const part of rest) {
    const [, codes = '', text = ''] = /^([0-9;]*)m(.*)$/.exec(part) ?? [];
    for (const code of codes.split(';')) style = withCode(style, Number(code || '0'));
    found.push({ text, column, style });
    column += [...text].length;
  }
  return found;
}

function escaped(text) {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

function svgText({ text: whole, column, style }, row) {
  const text = whole.trim();
  if (text === '') return '';
  // Blanks at either end draw nothing, and not every viewer gives them their width.
  const lead = [...whole].length - [...whole.trimStart()].length;
  const x = (column + lead + 1) * cell.width;
  const y = (row + 1.6) * cell.height;
  const weight = style.isBold ? ' font-weight="bold"' : '';
  const dim = style.isDim ? ' opacity="0.62"' : '';
  // The length is given, so that a font with other widths keeps the columns.
  const length = ([...text].length * cell.width).toFixed(1);
  return `<text x="${x.toFixed(1)}" y="${y.toFixed(1)}" textLength="${length}" fill="${style.colour}"${weight}${dim} xml:space="preserve">${escaped(text)}</text>`;
}

function toSvg(screen, [columns, rows], title) {
  const lines = screen.split('\n').slice(0, rows);
  const width = Math.ceil((columns + 2) * cell.width);
  const height = Math.ceil((rows + 2) * cell.height);
  const texts = lines.flatMap((line, row) => stretchesOf(line).map((each) => svgText(each, row)));
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" role="img" aria-label="${title}" font-family="'DejaVu Sans Mono', Menlo, Consolas, monospace" font-size="${cell.size}">`,
    `<title>${title}</title>`,
    `<rect width="100%" height="100%" rx="8" fill="${paper}"/>`,
    ...texts.filter((text) => text !== ''),
    '</svg>',
    '',
  ].join('\n');
}

async function main() {
  await setUp();
  if (spawnSync('tmux', ['-V']).status !== 0) {
    throw new SetUpProblem('the pictures need tmux: install it first.');
  }
  const folder = process.argv[2] ?? join(root, 'shared', 'pictures');
  mkdirSync(folder, { recursive: true });
  for (const picture of pictures) {
    const file = join(folder, `${picture.name}.svg`);
    const screen = await capture(picture);
    writeFileSync(file, toSvg(screen, picture.size, `Handspan: the ${picture.name} page`));
    say(`Wrote ${file}`);
  }
}

try {
  await main();
} catch (error) {
  endWith(error);
}
