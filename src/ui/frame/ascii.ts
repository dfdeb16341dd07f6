/** For terminals where only ASCII is safe: every sign of ours by one of the same width. */
const asciiSigns: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '♭': 'b',
    '♯': '#',
    '▸': '>',
    '◂': '<',
    '…': '~',
    '–': '-',
    '→': '>',
    '←': '<',
    '↑': '+',
    '↓': '-',
    '●': '*',
    '○': 'o',
    '◉': '@',
    '×': 'x',
    '·': '.',
    '★': '+',
    '♪': '@',
    '♩': 'q',
    '─': '-',
    '▔': '-',
    '│': '|',
    '█': '#',
    '▀': '@',
    '▄': '_',
    '━': '=',
    '▴': '^',
    '’': "'",
    ø: '0',
    '°': 'o',
  }),
);

const ours = new RegExp(`[${[...asciiSigns.keys()].join('')}]`, 'gu');

/** The text with our signs in ASCII; names of the player's own stay as they are. */
export function asciiOf(text: string): string {
  return text.replace(ours, (sign) => asciiSigns.get(sign) ?? '?');
}
