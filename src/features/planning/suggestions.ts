import type { BegunSession } from './fixed.ts'
import { slotOf } from './diff.ts'
import type { StoredPiece, Suggestion } from './model.ts'

/**
 * What a plan with the begun sessions open again would do in them otherwise: pieces still to come there that the plan has at
 * another time, with other people or not at all.
 */
export function suggestionsFrom(
  plan: readonly StoredPiece[], loose: readonly StoredPiece[], begun: readonly BegunSession[], now: number, siteOf: ReadonlyMap<string, string>,
): Suggestion[] {
  const isThere = (p: StoredPiece) => begun.some((s) => p.start >= now && p.start >= s.start && p.end <= s.end && (p.placeId === null || siteOf.get(p.placeId) === s.siteId))
  const key = (p: StoredPiece) => `${p.taskId} ${p.start} ${p.end} ${p.placeId} ${p.people.join()}`
  const known = new Set(plan.map(key))
  return loose.filter((p) => p.people.length > 0 && isThere(p) && !known.has(key(p))).map((p) => {
    const now = plan.filter((q) => q.taskId === p.taskId)
    const instead = now.find((q) => q.pieceId === p.pieceId) ?? now[0]
    return {
      buildId: p.buildId, taskId: p.taskId, start: p.start, end: p.end, people: p.people, supervisor: p.supervisor, placeId: p.placeId,
      instead: instead ? slotOf(instead) : null,
    }
  })
}
