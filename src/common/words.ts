/** Words and sentences: capitals, numbers, plurals, articles, lines of whole words. */

/** 'the key' → 'The key'. */
export function capitalised(text: string): string {
  return `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;
}

const numbers = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight'] as const;

/** 'three'; from nine on figures. */
export function numberWord(count: number): string {
  return numbers[count] ?? `${count}`;
}

/** 'three-part'. */
export function partCount(count: number): string {
  return `${numberWord(count)}-part`;
}

/** '1 chord', '34 chords'. */
export function counted(count: number, thing: string): string {
  return `${count} ${thing}${count === 1 ? '' : 's'}`;
}

/** 'a major', 'an augmented'. */
export function withArticle(name: string): string {
  return `${/^[aeiou]/u.test(name) ? 'an' : 'a'} ${name}`;
}

/** Lines of whole words, none wider than `width` unless one word is; '' is one empty line. */
export function wrapText(
  text: string,
  width: number,
  widthOf: (line: string) => number = (line) => line.length,
): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && widthOf(longer) > width) {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return [...lines, line];
}
