/** What may be refused: a value, or one sentence saying what, where, what to do. */
export type Result<T> = { readonly ok: true; readonly value: T } | Refused;

export type Refused = { readonly ok: false; readonly problem: string };

/** What is said of it, whether it was done or refused. */
export function sentenceOf(result: Result<string>): string {
  return result.ok ? result.value : result.problem;
}

export function refused(problem: string): Refused {
  return { ok: false, problem };
}

export function done(sentence: string): Result<string> {
  return { ok: true, value: sentence };
}
