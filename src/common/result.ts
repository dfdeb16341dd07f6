/** What may be refused: a value, or one sentence saying what, where, what to do. */
export type Result<T> = { readonly ok: true; readonly value: T } | Refused;

export type Refused = { readonly ok: false; readonly problem: string };
