/**
 * JSON text with places: the value, and the line and column of anything in it.
 * RFC 8259 only: no comments, no trailing commas. A property written twice is a problem too, for
 * the RFC leaves open which one counts.
 */
import jsonc, { type Node, type ParseError } from 'jsonc-parser';
import type { Finding, Problem } from './problem.ts';

/** A preset has about 600 characters; anything like this is another file. */
const maximumCharacters = 65_536;

export type JsonText = {
  readonly value: unknown;
  readonly place: (finding: Finding) => Problem;
};

type ParsedJson =
  | { readonly ok: true; readonly value: JsonText }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** Never throws, whatever the text. */
export function parseJsonText(source: string): ParsedJson {
  // Editors on some systems still write a byte order mark; it is no part of the JSON.
  const text = source.replace(/^\uFEFF/, '');
  if (text.trim() === '') return refuse(text, 0, 'The file is empty; write one preset in it.');
  if (text.length > maximumCharacters) {
    const message = `The file has ${text.length} characters; a preset has at most ${maximumCharacters}.`;
    return refuse(text, 0, message);
  }
  const errors: ParseError[] = [];
  const root = parseTreeWithin(text, errors);
  // Only the first: the rest usually follow from it.
  const [error] = errors;
  if (error !== undefined) return refuse(text, error.offset, describeSyntaxError(error, text));
  if (root === undefined)
    return refuse(text, 0, 'The brackets are nested too deeply for a preset.');
  const place = (finding: Finding): Problem => placeFinding(text, root, finding);
  const repeated = findRepeatedNames(root).map((node) =>
    problemAt(
      text,
      node.offset,
      String(node.value),
      `'${node.value}' stands here a second time; keep one.`,
    ),
  );
  if (repeated.length > 0) return { ok: false, problems: repeated };
  // Not jsonc's own value: it would take a property '__proto__' for the prototype.
  return { ok: true, value: { value: JSON.parse(text), place } };
}

function parseTreeWithin(text: string, errors: ParseError[]): Node | undefined {
  try {
    return jsonc.parseTree(text, errors, { disallowComments: true });
  } catch (error) {
    // The parser is recursive: thousands of open brackets exhaust the stack.
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function placeFinding(text: string, root: Node, finding: Finding): Problem {
  const node = jsonc.findNodeAtLocation(root, [...finding.path]) ?? root;
  const name = node.parent?.type === 'property' ? node.parent.children?.[0] : undefined;
  const offset = finding.at === 'name' ? (name ?? node).offset : node.offset;
  return problemAt(text, offset, finding.path.join('.'), finding.message);
}

function problemAt(text: string, offset: number, path: string, message: string): Problem {
  const before = text.slice(0, offset).split(/\r\n|\r|\n/);
  return { path, line: before.length, column: (before.at(-1)?.length ?? 0) + 1, message };
}

function refuse(text: string, offset: number, message: string): ParsedJson {
  return { ok: false, problems: [problemAt(text, offset, '', message)] };
}

/** The name nodes of properties that repeat one before them in the same object. */
function findRepeatedNames(root: Node): readonly Node[] {
  const repeated: Node[] = [];
  const waiting: Node[] = [root];
  for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
    const seen = new Set<unknown>();
    for (const child of node.children ?? []) {
      const name = child.type === 'property' ? child.children?.[0] : undefined;
      if (name !== undefined && seen.has(name.value)) repeated.push(name);
      if (name !== undefined) seen.add(name.value);
      waiting.push(child);
    }
  }
  return repeated.sort((a, b) => a.offset - b.offset);
}

const syntaxSentences: { readonly [name: string]: string } = {
  PropertyNameExpected:
    'stands where a property name in double quotes is expected; take out a comma too many, or add the name.',
  ValueExpected: 'stands where a value is expected; add the value, or take out a comma too many.',
  ColonExpected: "stands where a ':' is expected after the property name.",
  CommaExpected: "stands where a ',' or a closing bracket is expected; add the comma before it.",
  CloseBraceExpected: "stands where a closing '}' is expected.",
  CloseBracketExpected: "stands where a closing ']' is expected.",
  EndOfFileExpected: 'follows after the preset has ended; one file holds one preset.',
  InvalidCommentToken: 'begins a comment, and JSON has none; take it out.',
  UnexpectedEndOfString:
    'begins a text that does not end on its line; add the closing double quote.',
  UnexpectedEndOfNumber: 'is a number cut short; complete its digits.',
  InvalidUnicode: 'holds a \\u that is not followed by four hexadecimal digits.',
  InvalidEscapeCharacter:
    "holds a '\\' before a letter that JSON does not know there; write '\\\\' for one backslash.",
  InvalidCharacter: 'holds a tab, line break or control character inside a text; take it out.',
};

function describeSyntaxError(error: ParseError, text: string): string {
  const [found = ''] = text.slice(error.offset, error.offset + error.length).split(/[\r\n]/, 1);
  // The sentence goes to a terminal, which a control character could upset.
  const shown = found.slice(0, 20).replace(/\p{C}/gu, '·');
  const sentence = syntaxSentences[jsonc.printParseErrorCode(error.error)];
  const subject = error.length === 0 ? 'The end of the file' : `'${shown}'`;
  return `${subject} ${sentence ?? 'is not JSON; words go in double quotes.'}`;
}
