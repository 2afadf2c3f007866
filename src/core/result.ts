/** A refusal is a value that says what a person can do; a bug is an exception. */
export type Result<T, R> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly refusal: R }
export const ok = <T>(value: T): { ok: true; value: T } => ({ ok: true, value })
export const refuse = <R>(refusal: R): { ok: false; refusal: R } => ({ ok: false, refusal })
