import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ProgressPage, type ProgressProps } from '../../../../views/reviews/progress.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write } from '../../../platform/write.ts'
import { agreeBaseline } from './commands.ts'
import { progressPage } from './queries.ts'
import { AgreeForm } from './schemas.ts'

/** How far a build is by work, and the agreed plan that it is measured against. */
export function progressRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, sent: Pick<ProgressProps, 'refusal' | 'typed'> = {}) =>
    reply.view(ProgressPage, { ...(await progressPage(db, found(req.build).id, clock.now())), ...sent }, { status: sent.refusal?.status ?? 200 })

  app.get('/builds/:buildId/progress', { config: { may: 'reviews.view' } }, (req, reply) => page(req, reply))

  app.post('/builds/:buildId/progress/agree', { config: { may: 'reviews.agree' } }, (req, reply) =>
    write(req, reply, {
      schema: AgreeForm,
      run: (tx, ctx, { plan, ...input }) => agreeBaseline(tx, ctx, { buildId: found(req.build).id, ...input, planId: plan }),
      refused: (refusal, typed) => page(req, reply, { refusal, typed }),
    }))
}
