/**
 * A command of ours as the player can type it. From a checkout, npm starts the program and there is
 * no `handspan` on the path: the hint must be the line that works there.
 */
type Environment = { readonly [name: string]: string | undefined };

/** What package.json calls the scripts that start the program. */
const ownScripts: readonly (string | undefined)[] = ['start', 'handspan'];

/** 'takes' → 'handspan takes', or 'npm run -s handspan -- takes'. */
export function ownCommand(words: string, environment: Environment = process.env): string {
  const { npm_lifecycle_event: script, npm_package_name: name } = environment;
  const isFromCheckout = name === 'handspan' && ownScripts.includes(script);
  return `${isFromCheckout ? 'npm run -s handspan --' : 'handspan'} ${words}`;
}

/** A word as it is typed in a shell: in quotes where it has a space or a sign that means something there. */
export function typedWord(word: string): string {
  return /^[\w./\\~:@%+=,\u0080-\uffff-]+$/u.test(word)
    ? word
    : `"${word.replace(/["$`]/gu, '\\$&')}"`;
}
