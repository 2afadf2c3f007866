/** From a stored plan to what pages show of it. */
import { launchSlot } from '../diff.ts'
import type { NameBook, Slot, StoredPiece, StoredPlan, Window } from '../model.ts'
import type { BuildCard } from './visible.ts'

export type PieceView = StoredPiece & { readonly window: Window | null }
export type WindowView = Window & {
  readonly linkId: string
  readonly buildId: string
  readonly from: string
  readonly to: string
  /** The coat before is on; else it is reckoned from the plan. */
  readonly isFact: boolean
  /** The piece that meets it, if the plan has one. */
  readonly piece: StoredPiece | null
}
export type LaunchView = { readonly build: BuildCard; readonly launch: Slot | null; readonly lowerBound: number | null; readonly late: number }

export function pieceViews(plan: StoredPlan, names: NameBook): PieceView[] {
  const windows = new Map(plan.met.map((m) => [names.links.get(m.linkId)?.to, m]))
  return plan.pieces.map((p) => {
    const met = windows.get(p.taskId)
    return { ...p, window: met ? { opens: met.opens, closes: met.closes } : null }
  })
}

/** Windows that the plan meets, by opening. `pieces`: where the coats are looked for. */
export function windowViews(plan: StoredPlan, names: NameBook, finished: ReadonlySet<string>): WindowView[] {
  return plan.met
    .flatMap((m): WindowView[] => {
      const link = names.links.get(m.linkId)
      const buildId = link && names.tasks.get(link.to)?.buildId
      if (!link || !buildId) return []
      const piece = plan.pieces.find((p) => p.taskId === link.to) ?? null
      return [{ linkId: m.linkId, buildId, from: link.from, to: link.to, opens: m.opens, closes: m.closes, isFact: finished.has(link.from), piece }]
    })
    .sort((a, b) => a.opens - b.opens || (a.linkId < b.linkId ? -1 : 1))
}

export const launchViews = (plan: StoredPlan | null, builds: readonly BuildCard[]): LaunchView[] =>
  builds.map((build) => {
    const outcome = plan?.builds.find((b) => b.buildId === build.id)
    return { build, launch: plan && launchSlot(plan, build.id), lowerBound: outcome?.lowerBound ?? null, late: outcome?.late ?? 0 }
  })
