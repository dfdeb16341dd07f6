/** What the outside world may refuse: a value, or one sentence saying what, where, what to do. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: string };
