/** Reasons that name things: each must exist, and a link must lead to the piece's own task or hold it back. */
import type { Piece } from '../answer.ts'
import type { Link } from '../problem.ts'
import type { Context } from './context.ts'

export function checkBindings(c: Context): void {
  const links = new Map(c.problem.links.map((l) => [l.id, l]))
  const resources = new Set(c.problem.resources.map((r) => r.id))
  const holds = new Set(c.problem.holds.map((h) => h.id))
  for (const piece of c.plan.pieces) {
    const { binding } = piece
    const wrong = (what: string): void => c.fault('binding', piece, `The reason of ${piece.id} names ${what}.`)
    if ((binding.kind === 'fixed') !== (piece.fixed !== null)) wrong(`"${binding.kind}", but the piece is ${piece.fixed ?? 'not fixed'}`)
    if ('taskId' in binding && binding.taskId !== null && !c.jobs.has(binding.taskId) && !holds.has(binding.taskId)) {
      wrong(`${binding.taskId}, which is no task`)
    }
    if ('resourceId' in binding && !resources.has(binding.resourceId)) wrong(`${binding.resourceId}, which is no tool or clamp`)
    if (binding.kind === 'material' && !isNeed(c, piece.taskId, binding)) wrong(`a need of ${binding.materialId} that ${piece.taskId} has not`)
    if (binding.kind === 'material' && piece.start < binding.at) wrong(`${binding.materialId} that is here only after it`)
    if ('placeId' in binding && !c.places.has(binding.placeId)) wrong(`${binding.placeId}, which is no place`)
    if ('linkId' in binding && !leadsTo(links.get(binding.linkId), piece)) wrong(`the link ${binding.linkId}, which does not lead to it`)
  }
  for (const { taskId, reason } of c.plan.unplanned) {
    if (reason.kind === 'material' && !isNeed(c, taskId, reason)) {
      c.fault('binding', null, `${taskId} is said to wait for ${reason.materialId}; it has no such need.`)
    }
  }
}

const isNeed = (c: Context, taskId: string, told: { readonly materialId: string; readonly at: number; readonly short?: number }): boolean =>
  c.plan.needs.some((n) => n.taskId === taskId && n.materialId === told.materialId && n.covered === told.at
    && (told.short === undefined || told.short === (n.covered === n.shortArrives ? n.short : 0)))

/** A coat may also be held back for the window after it, and a maximum lag holds back what it starts from. */
function leadsTo(link: Link | undefined, piece: Piece): boolean {
  if (link === undefined) return false
  if (link.to === piece.taskId || (link.kind === 'window' && link.wash?.id === piece.taskId)) return true
  return link.from === piece.taskId && (link.kind === 'lag' || (piece.binding.kind === 'window' && piece.binding.heldBack))
}
