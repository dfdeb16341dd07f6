/** 'a major', 'an augmented'. */
export function withArticle(name: string): string {
  return `${/^[aeiou]/u.test(name) ? 'an' : 'a'} ${name}`;
}
