/** What moved between two plans, piece by piece, for pages that say it in words. */
import type { Binding, Piece, Plan } from './answer.ts'
import type { PreviousPiece } from './problem.ts'

export interface Move {
  readonly taskId: string
  /** Null: not in the plan before, or gone from it. */
  readonly from: PreviousPiece | null
  readonly to: Piece | null
  /** What keeps the piece from being earlier now; null when it is gone. */
  readonly binding: Binding | null
}

/**
 * Pieces are matched by task and order of start. A piece counts as moved when its start, end, place or people differ;
 * `sameEnough` may let small shifts pass (for example the same local day).
 */
export function diffPlans(previous: readonly PreviousPiece[], next: Plan, sameEnough: (a: PreviousPiece, b: Piece) => boolean = same): Move[] {
  const before = byTask(previous)
  const after = byTask(next.pieces)
  const moves: Move[] = []
  for (const taskId of [...new Set([...before.keys(), ...after.keys()])].sort()) {
    const a = before.get(taskId) ?? []
    const b = after.get(taskId) ?? []
    for (let i = 0; i < Math.max(a.length, b.length); i++) {
      const from = a[i] ?? null
      const to = b[i] ?? null
      if (from && to && sameEnough(from, to)) continue
      moves.push({ taskId, from, to, binding: to?.binding ?? null })
    }
  }
  const when = (m: Move): number => (m.to ?? m.from)!.start
  return moves.sort((x, y) => when(x) - when(y) || (x.taskId < y.taskId ? -1 : x.taskId > y.taskId ? 1 : 0))
}

const same = (a: PreviousPiece, b: Piece): boolean =>
  a.start === b.start && a.end === b.end && a.placeId === b.placeId && [...a.people].sort().join(' ') === b.people.join(' ')

function byTask<P extends { readonly taskId: string; readonly start: number }>(pieces: readonly P[]): Map<string, P[]> {
  const map = new Map<string, P[]>()
  for (const p of pieces) map.set(p.taskId, [...(map.get(p.taskId) ?? []), p])
  for (const list of map.values()) list.sort((a, b) => a.start - b.start)
  return map
}
