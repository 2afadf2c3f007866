/** The little of linear algebra that normal models of a few unknowns need. */

export type Matrix = readonly (readonly number[])[]

/** What is known of several numbers at once: their mean, and their covariance. */
export interface Normals { readonly mean: readonly number[]; readonly cov: Matrix }

export const matrix = (n: number, at: (i: number, j: number) => number): number[][] =>
  Array.from({ length: n }, (_, i) => Array.from({ length: n }, (_, j) => at(i, j)))

export const plus = (a: Matrix, b: Matrix): number[][] => matrix(a.length, (i, j) => a[i]![j]! + b[i]![j]!)

export const times = (a: Matrix, v: readonly number[]): number[] => a.map((row) => row.reduce((sum, x, j) => sum + x * v[j]!, 0))

/** Inverse of a symmetric positive definite matrix (Gauss and Jordan, no pivoting needed). @throws RangeError for any other. */
export function inverse(a: Matrix): number[][] {
  const n = a.length
  const rows = a.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))])
  for (let k = 0; k < n; k++) {
    const pivot = rows[k]![k]!
    if (!(pivot > 0)) throw new RangeError('not a positive definite matrix')
    rows[k] = rows[k]!.map((x) => x / pivot)
    for (let i = 0; i < n; i++) {
      const factor = rows[i]![k]!
      if (i !== k && factor !== 0) rows[i] = rows[i]!.map((x, j) => x - factor * rows[k]![j]!)
    }
  }
  return rows.map((row) => row.slice(n))
}

/**
 * What is known after independent normal measurements: `precision` of each (0: not measured), `sum` the precision times what was measured.
 * Bayes' rule for normals: precisions add, means are weighted by them.
 */
export function measured(before: Normals, information: Matrix, sum: readonly number[]): Normals {
  const known = inverse(before.cov)
  const cov = inverse(plus(known, information))
  return { mean: times(cov, times(known, before.mean).map((x, i) => x + sum[i]!)), cov }
}
