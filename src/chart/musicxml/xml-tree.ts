/**
 * XML as a tree of elements with their places in the text, read by sax in its strict mode. Entities
 * of a document type are not expanded, nothing is fetched.
 */
import sax from 'sax';

export type XmlElement = {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  /** Of the element itself, trimmed. */
  readonly text: string;
  /** Where its start tag ends, counted from 1. */
  readonly line: number;
  readonly column: number;
};

export type XmlResult =
  | { readonly ok: true; readonly value: XmlElement }
  /** A sentence without its full stop. */
  | {
      readonly ok: false;
      readonly problem: string;
      readonly line: number;
      readonly column: number;
    };

type Open = { -readonly [Name in keyof XmlElement]: XmlElement[Name] } & { children: Open[] };

/** Deeper than any score; far less than what would stop the program. */
const deepest = 200;

export function readXml(text: string): XmlResult {
  const parser = sax.parser(true, { position: true });
  const open: Open[] = [];
  let root: Open | undefined;
  let failure: Extract<XmlResult, { ok: false }> | undefined;
  const fail = (problem: string) => {
    failure ??= { ok: false, problem, line: parser.line + 1, column: parser.column + 1 };
  };
  parser.onerror = ({ message }) => {
    fail(sentenceOf(message));
  };
  parser.onopentag = ({ name, attributes }) => {
    const element: Open = {
      name,
      attributes: attributes as Record<string, string>,
      children: [],
      text: '',
      line: parser.line + 1,
      column: parser.column + 1,
    };
    if (open.length >= deepest) fail('it is nested too deep');
    else open.at(-1)?.children.push(element);
    root ??= element;
    open.push(element);
  };
  parser.ontext = (words) => {
    const element = open.at(-1);
    if (element !== undefined) element.text += words;
  };
  parser.oncdata = parser.ontext;
  parser.onclosetag = () => {
    const element = open.pop();
    if (element !== undefined) element.text = element.text.trim();
  };
  // Piece by piece, so that the reading can end at the first fault.
  const piece = 1 << 16;
  try {
    for (let at = 0; at < text.length && failure === undefined; at += piece) {
      parser.write(text.slice(at, at + piece));
    }
    if (failure === undefined) parser.close();
  } catch (error) {
    // Behind a fault the parser throws it again.
    if (failure === undefined) throw error;
  }
  if (failure !== undefined) return failure;
  return root === undefined
    ? { ok: false, problem: 'there is nothing in it', line: 1, column: 1 }
    : { ok: true, value: root };
}

/** The parser tells its place in further lines. */
function sentenceOf(message: string): string {
  const [first = ''] = message.split('\n');
  return `it is no well-formed XML: ${first.charAt(0).toLowerCase()}${first.slice(1)}`;
}

export function childrenOf(element: XmlElement | undefined, name: string): readonly XmlElement[] {
  return element?.children.filter((child) => child.name === name) ?? [];
}

export function childOf(element: XmlElement | undefined, name: string): XmlElement | undefined {
  return element?.children.find((child) => child.name === name);
}

/** The text of a child; '' where there is none. */
export function textOf(element: XmlElement | undefined, name: string): string {
  return childOf(element, name)?.text ?? '';
}

/** The number in a child; undefined where there is none. */
export function numberOf(element: XmlElement | undefined, name: string): number | undefined {
  const text = textOf(element, name);
  const number = Number(text);
  return text === '' || !Number.isFinite(number) ? undefined : number;
}
