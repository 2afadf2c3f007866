/** What of a plan can be agreed on. Pure. */

type Planned = { readonly pieces: readonly { readonly taskId: string }[]; readonly unplanned: readonly { readonly taskId: string }[] }

/** Open tasks that the plan has no date for, or not for all of them. */
export function unplannedOf<T extends { readonly id: string }>(open: readonly T[], { pieces, unplanned }: Planned): T[] {
  const has = new Set(pieces.map((p) => p.taskId))
  const cant = new Set(unplanned.map((u) => u.taskId))
  return open.filter((t) => cant.has(t.id) || !has.has(t.id))
}
