import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { MovedFragment, MovedPage, WaitingPage } from '../../../views/planning/moved.tsx'
import { movedLines } from '../../../views/planning/moved-lines.ts'
import type { Deps } from '../../platform/deps.ts'
import { found } from '../../platform/errors.ts'
import { takeAfter } from '../../platform/flash.ts'
import type { Planner } from './jobs/planner.ts'
import { answered, movesOf } from './queries/moved.ts'

/** So long the page after a write waits for the plan. */
const WAIT_MS = 2_500
const Id = z.object({ id: z.string().regex(/^\d{1,18}$/) })
const idOf = (params: unknown): bigint => {
  const parsed = Id.safeParse(params)
  return found(parsed.success ? BigInt(parsed.data.id) : null)
}

/** What moved: a line on the page after every write, and a page of its own. */
export function movedRoutes(app: FastifyInstance, deps: Deps, planner: Planner): void {
  const { db, clock } = deps
  // Where no planner runs beside this app there is nothing to wait for.
  const patience = () => (planner.isRunning ? WAIT_MS : 0)

  deps.pageHooks.moved = async (req, reply) => {
    const requestId = takeAfter(req, reply)
    if (requestId === null || !req.member) return []
    return movedLines(await answered(db, req.member, requestId, patience()), `/moved/after/${requestId}`, req.club, clock.now())
  }

  app.get('/moved/after/:id', { config: { may: 'planning.view' } }, async (req, reply) => {
    const requestId = idOf(req.params)
    const again = `/moved/after/${requestId}`
    const answer = await answered(db, found(req.member), requestId, patience())
    const lines = movedLines(answer, again, req.club, clock.now())
    if (req.headers['hx-request'] === 'true' && req.headers['hx-boosted'] !== 'true') return reply.view(MovedFragment, { moved: lines })
    if (answer.state === 'planned') return reply.redirect(`/moved/${answer.plan.id}`, 303)
    return reply.view(WaitingPage, { again, why: lines })
  })

  app.get('/moved/:id', { config: { may: 'planning.view' } }, async (req, reply) => {
    const { plan, moves, names } = found(await movesOf(db, found(req.member), idOf(req.params)))
    return reply.view(MovedPage, { names, moves, causes: plan.causes, madeAt: plan.madeAt })
  })
}
