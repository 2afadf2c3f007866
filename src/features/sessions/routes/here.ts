import type { FastifyInstance, FastifyRequest } from 'fastify'
import { HereView, type HereProps } from '../../../../views/sessions/here.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { EARLY_MIN, tickHere, walkIn } from '../commands/here.ts'
import { sessionPage } from '../queries/sessions.ts'
import { TickForm, WalkInForm } from '../schemas/session.ts'
import { toInstant } from '../times.ts'
import { idIn } from './params.ts'

export default function routes(app: FastifyInstance, { db, clock }: Deps): void {
  const page = async (req: FastifyRequest, sent: Pick<HereProps, 'form'> & { refusal?: Refusal; typed?: Typed } = {}) => {
    const loaded = found(await sessionPage(db, idIn(req, 'sessionId'), clock.now()))
    const isOn = loaded.session.state === 'planned' && toInstant(clock.now()) >= loaded.session.start - EARLY_MIN
    return { ...loaded, isOn, ...sent }
  }
  app.get('/sessions/:sessionId/here', { config: { may: 'sessions.view' } }, async (req, reply) => reply.view(HereView, await page(req)))
  app.post('/sessions/:sessionId/here', { config: { may: 'sessions.answer' } }, (req, reply) =>
    write(req, reply, {
      schema: TickForm,
      run: (tx, ctx, input) => tickHere(tx, ctx, idIn(req, 'sessionId'), input),
      refused: async (refusal) => reply.view(HereView, await page(req, { refusal }), { status: refusal.status }),
    }))
  app.post('/sessions/:sessionId/walk-in', { config: { may: 'sessions.others' } }, (req, reply) =>
    write(req, reply, {
      schema: WalkInForm,
      run: (tx, ctx, input) => walkIn(tx, ctx, idIn(req, 'sessionId'), input),
      refused: async (refusal, typed) => reply.view(HereView, await page(req, { form: 'walk-in', refusal, typed }), { status: refusal.status }),
    }))
}
