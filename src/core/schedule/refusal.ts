/** Why a question can't be planned at all. Each names the thing, so that a page can say the way out. */
export type ProblemRefusal =
  /** Two things of one kind carry the same id. */
  | { readonly kind: 'duplicate-id'; readonly what: Kind; readonly id: string }
  /** `owner` names an id that nothing has. */
  | { readonly kind: 'unknown-id'; readonly what: Kind; readonly id: string; readonly owner: string }
  /** Finish, stage and window links lead from a task back to itself; ids in order of the circle, each once. */
  | { readonly kind: 'circle'; readonly taskIds: readonly string[] }
  /** Minimum and maximum lags ask a task to start after itself. */
  | { readonly kind: 'lag-circle'; readonly taskIds: readonly string[] }
  /** A coat or glue-up goes on in one go. */
  | { readonly kind: 'divisible-coat'; readonly taskId: string }
  /** A stage or window link, or a cure stage asked of a resource, needs a coat. */
  | { readonly kind: 'not-a-coat'; readonly taskId: string; readonly owner: string }
  /** A task that people do needs at least one place. */
  | { readonly kind: 'no-place'; readonly taskId: string }
  | { readonly kind: 'bad-number'; readonly owner: string; readonly field: string; readonly value: number }
  /** Ends before it begins. */
  | { readonly kind: 'bad-interval'; readonly owner: string; readonly start: number; readonly end: number }
  /** Of one material, two supplies of the same fit arrive at the same instant: their sum is meant, or one of them is told twice. */
  | { readonly kind: 'duplicate-supply'; readonly materialId: string; readonly at: number; readonly fit: 'structure' | 'any' }

export type Kind = 'person' | 'place' | 'resource' | 'material' | 'product' | 'build' | 'task' | 'link' | 'hold' | 'wash'
