/**
 * A chord symbol in letters to be read from a metre away: root, suffix and slash bass alike. Drawn
 * here because the letters of a chord symbol are few and the accidentals are musical signs, which
 * no lettering library has.
 *
 * Two sets of letters in dots: seven high and five high. Two dots share a terminal row as half
 * blocks; or a dot is two columns by one row (`doubled`), or one column by one row in ASCII.
 */
type Letters = { readonly [sign: string]: string };

/** Rows of a letter from the top, between slashes. 'b' is the flat, '#' the sharp. */
const high: Letters = {
  A: '.###./#...#/#...#/#####/#...#/#...#/#...#',
  B: '####./#...#/#...#/####./#...#/#...#/####.',
  C: '.####/#..../#..../#..../#..../#..../.####',
  D: '####./#...#/#...#/#...#/#...#/#...#/####.',
  E: '#####/#..../#..../####./#..../#..../#####',
  F: '#####/#..../#..../####./#..../#..../#....',
  G: '.####/#..../#..../#..##/#...#/#...#/.####',
  b: '#.../#.../#.#./##.#/#..#/#.#./##..',
  '#': '.#.#./.#.##/####./.#.#./.####/##.#./.#.#.',
  m: '...../...../####./#.#.#/#.#.#/#.#.#/#.#.#',
  a: '..../..../.##./...#/.###/#..#/.###',
  j: '..#/.../..#/..#/..#/#.#/.#.',
  d: '...#/...#/.###/#..#/#..#/#..#/.###',
  i: '#/./#/#/#/#/#',
  s: '..../..../.###/#.../.##./...#/###.',
  u: '..../..../#..#/#..#/#..#/#..#/.###',
  g: '..../..../.###/#..#/.###/...#/###.',
  n: '..../..../###./#..#/#..#/#..#/#..#',
  o: '..../..../.##./#..#/#..#/#..#/.##.',
  l: '#/#/#/#/#/#/#',
  t: '.#./.#./###/.#./.#./.#./.##',
  0: '.##./#..#/#..#/#..#/#..#/#..#/.##.',
  1: '.#/##/.#/.#/.#/.#/.#',
  2: '.##./#..#/...#/..#./.#../#.../####',
  3: '###./...#/...#/.##./...#/...#/###.',
  4: '#..#/#..#/#..#/####/...#/...#/...#',
  5: '####/#.../###./...#/...#/...#/###.',
  6: '.##./#.../#.../###./#..#/#..#/.##.',
  7: '####/...#/...#/..#./..#./.#../.#..',
  8: '.##./#..#/#..#/.##./#..#/#..#/.##.',
  9: '.##./#..#/#..#/.###/...#/...#/.##.',
  '(': '.#/#./#./#./#./#./.#',
  ')': '#./.#/.#/.#/.#/.#/#.',
  slash: '...#/...#/..#./..#./.#../#.../#...',
  ',': '../../../../.#/.#/#.',
  '+': '.../.../.#./###/.#./.../...',
  '-': '.../.../.../###/.../.../...',
};

const low: Letters = {
  A: '.#./#.#/###/#.#/#.#',
  B: '##./#.#/##./#.#/##.',
  C: '.##/#../#../#../.##',
  D: '##./#.#/#.#/#.#/##.',
  E: '###/#../##./#../###',
  F: '###/#../##./#../#..',
  G: '.##/#../#.#/#.#/.##',
  b: '#../#../##./#.#/##.',
  '#': '#.#/###/#.#/###/#.#',
  m: '...../...../####./#.#.#/#.#.#',
  a: '.../##./.##/#.#/.##',
  j: '..#/.../..#/#.#/.#.',
  d: '..#/..#/.##/#.#/.##',
  i: '#/./#/#/#',
  s: '.../.##/##./..#/##.',
  u: '.../.../#.#/#.#/.##',
  g: '.../.##/#.#/.##/##.',
  n: '.../.../##./#.#/#.#',
  o: '.../.../###/#.#/###',
  l: '#/#/#/#/#',
  t: '.#./###/.#./.#./.##',
  0: '###/#.#/#.#/#.#/###',
  1: '.#/##/.#/.#/.#',
  2: '##./..#/.#./#../###',
  3: '##./..#/.#./..#/##.',
  4: '#.#/#.#/###/..#/..#',
  5: '###/#../##./..#/##.',
  6: '.##/#../###/#.#/###',
  7: '###/..#/..#/.#./.#.',
  8: '###/#.#/###/#.#/###',
  9: '###/#.#/###/..#/##.',
  '(': '.#/#./#./#./.#',
  ')': '#./.#/.#/.#/#.',
  slash: '..#/..#/.#./#../#..',
  ',': '../../../.#/#.',
  '+': '.../.#./###/.#./...',
  '-': '.../.../###/.../...',
};

/** Rows of dots, '#' for one, or undefined when a sign has no letter. */
function dotsOf(letters: Letters, symbol: string): readonly string[] | undefined {
  const signs = [...symbol].map((sign) => letters[sign === '/' ? 'slash' : sign]?.split('/'));
  if (signs.length === 0 || signs.some((sign) => sign === undefined)) return undefined;
  const rows = signs[0]?.length ?? 0;
  return Array.from({ length: rows }, (_, row) => signs.map((sign) => sign?.[row] ?? '').join('.'));
}

function halfBlocks(rows: readonly string[]): readonly string[] {
  return Array.from({ length: Math.ceil(rows.length / 2) }, (_, pair) => {
    const upper = rows[2 * pair] ?? '';
    const lower = rows[2 * pair + 1] ?? '';
    return [...upper]
      .map((dot, column) => {
        const isLower = lower[column] === '#';
        if (dot === '#') return isLower ? '█' : '▀';
        return isLower ? '▄' : ' ';
      })
      .join('');
  });
}

function blocks(rows: readonly string[], dot: string): readonly string[] {
  return rows.map((row) => row.replaceAll('#', dot).replaceAll('.', ' '.repeat(dot.length)));
}

/**
 * The symbol as lines of the largest letters that fit into `width` columns and `rows` rows; undefined
 * where none do, or where it has signs that are in no chord symbol.
 */
export function letteredSymbol(
  symbol: string,
  width: number,
  rows: number,
  hasBlocks: boolean,
): readonly string[] | undefined {
  const tall = dotsOf(high, symbol);
  const short = dotsOf(low, symbol);
  if (tall === undefined || short === undefined) return undefined;
  const sizes = hasBlocks
    ? [blocks(tall, '██'), halfBlocks(tall), halfBlocks(short)]
    : [blocks(tall, '##'), blocks(tall, '#'), blocks(short, '#')];
  return sizes.find((lines) => lines.length <= rows && (lines[0]?.length ?? 0) <= width);
}
