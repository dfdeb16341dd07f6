/**
 * What is wrong with a preset's text, and where. Expected bad input is a value, never a throw.
 */
export type Problem = {
  /** Dotted way to the value: 'upper.lowest'; '' for the file as a whole. */
  readonly path: string;
  /** Counted from 1. */
  readonly line: number;
  /** Counted from 1, in UTF-16 units, as editors count. */
  readonly column: number;
  /** One sentence: what is wrong, the bad value, what is allowed, what to do. */
  readonly message: string;
};

/** A problem before its place in the text is looked up. */
export type Finding = {
  readonly path: readonly string[];
  /** Whether to point at the property's name or at its value. */
  readonly at: 'name' | 'value';
  readonly message: string;
};

/** `my.json:4:15: upper.lowest: 130 is above 127; …`, in the form compilers made common. */
export function formatProblem(file: string, problem: Problem): string {
  const path = problem.path === '' ? '' : `${problem.path}: `;
  return `${file}:${problem.line}:${problem.column}: ${path}${problem.message}`;
}
