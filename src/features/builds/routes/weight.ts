import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Weight, type WeightProps } from '../../../../views/builds/weight.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { write } from '../../../platform/write.ts'
import { addWeighIn, setMassTarget, withdrawWeighIn } from '../commands/weigh-in.ts'
import { weightPage } from '../queries/weight.ts'
import { targetForm, weighInForm } from '../schemas/weight.ts'

const LOG = { config: { may: 'builds.log' } }
const idOf = (req: FastifyRequest): string => found(req.build).id

export function weightRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, sent: Pick<WeightProps, 'form' | 'refusal' | 'typed'> = {}) =>
    reply.view(Weight, { ...(await weightPage(db, idOf(req), found(req.club).zone, clock.now())), ...sent }, { status: sent.refusal?.status ?? 200 })
  app.get('/builds/:buildId/weight', { config: { may: 'builds.view' } }, (req, reply) => page(req, reply))

  app.post('/builds/:buildId/weigh-ins', LOG, (req, reply) => {
    const club = found(req.club)
    return write(req, reply, {
      schema: weighInForm(club.units), run: (tx, ctx, input) => addWeighIn(tx, ctx, idOf(req), input, club),
      refused: (refusal, typed) => page(req, reply, { form: 'weigh', refusal, typed }),
    })
  })
  app.post('/builds/:buildId/weigh-ins/:weighInId/withdraw', LOG, (req, reply) =>
    write(req, reply, {
      schema: Nothing, run: (tx, ctx) => withdrawWeighIn(tx, ctx, idOf(req), (req.params as { weighInId: string }).weighInId),
      refused: (refusal) => page(req, reply, { form: 'withdraw', refusal }),
    }))
  app.post('/builds/:buildId/weight/target', { config: { may: 'builds.edit' } }, (req, reply) => {
    const club = found(req.club)
    return write(req, reply, {
      schema: targetForm(club.units), run: (tx, ctx, input) => setMassTarget(tx, ctx, idOf(req), input, club),
      refused: (refusal, typed) => page(req, reply, { form: 'target', refusal, typed }),
    })
  })
}
