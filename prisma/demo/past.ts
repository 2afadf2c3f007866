/**
 * The past of the example club as a file: told once by the service itself (`npm run demo:tell`), read at each first start. Rows are named
 * by what they are called, times by local day (from this week's Monday) and minute, so that it lies before any today. A task is called by
 * its key in the list, or `own:<name>` where it is the build's own.
 */
export type When = readonly [day: number, minute: number]
export interface Past {
  readonly builds: readonly PastBuild[]
  readonly sessions: readonly { readonly series: string; readonly day: number; readonly came: readonly string[]; readonly closedBy: string; readonly closedAt: When }[]
  readonly plans: readonly PastPlan[]
  readonly weeks: readonly { readonly build: string; readonly day: number; readonly available: number; readonly planned: number; readonly left: number; readonly launch: When | null; readonly meant: unknown }[]
}
export interface PastPlan {
  readonly at: When
  readonly tookMs: number
  readonly causes: readonly string[]
  readonly builds: readonly { readonly build: string; readonly launch: When | null; readonly lower: When | null; readonly late: number }[]
  /** Rows of the two weeks after it, and what was forecast from it, as `names.ts` writes rows. */
  readonly pieces: readonly unknown[]
  readonly forecasts: readonly unknown[]
}
export interface PastBuild {
  readonly build: string
  readonly tasks: readonly { readonly task: string; readonly started: When | null; readonly finished: When | null; readonly by: string | null; readonly left: number | null; readonly leftAt: When | null }[]
  readonly ticks: readonly { readonly task: string; readonly step: number; readonly at: When; readonly by: string | null }[]
  readonly logs: readonly { readonly task: string; readonly wash: readonly [from: string, to: string] | null; readonly at: When; readonly elapsed: number; readonly worked: number; readonly people: readonly string[]; readonly session: readonly [series: string, day: number] | null }[]
  readonly coats: readonly { readonly task: string; readonly from: When; readonly to: When; readonly place: string; readonly product: string; readonly by: string }[]
  /** Rows with their tasks, as `names.ts` writes rows. */
  readonly baselines: readonly unknown[]
  readonly links: readonly { readonly from: string; readonly to: string; readonly kind: string; readonly missed: When | null; readonly washStarted: When | null; readonly washDone: When | null; readonly washLogged: number }[]
}
