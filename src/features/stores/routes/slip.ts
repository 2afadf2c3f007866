import type { FastifyInstance, FastifyRequest } from 'fastify'
import { SlipPage } from '../../../../views/stores/slip.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write } from '../../../platform/write.ts'
import { bookSlip } from '../commands/slip.ts'
import { slipPage } from '../queries/slip.ts'
import { SlipForm } from '../schemas/slip.ts'
import { todayOf } from './orders.ts'

const BOOK = { config: { may: 'stores.book' } }

export default function slip(app: FastifyInstance, { db }: Deps): void {
  const model = (req: FastifyRequest) => slipPage(db, found(req.member), todayOf(req))
  app.get('/stores/slip', BOOK, async (req, reply) => reply.view(SlipPage, await model(req)))
  app.post('/stores/slip', BOOK, (req, reply) =>
    write(req, reply, {
      schema: SlipForm,
      run: bookSlip,
      refused: async (refusal, typed) => reply.view(SlipPage, { ...(await model(req)), refusal, typed }, { status: refusal.status }),
    }))
}
