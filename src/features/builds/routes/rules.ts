import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { RulesFigure } from '../../../../views/builds/rules-figure.tsx'
import { Rules } from '../../../../views/builds/rules.tsx'
import { ok } from '../../../core/result.ts'
import type { RuleKey } from '../../../core/estimate/types.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { changeBoat, changedWords } from '../commands/change-boat.ts'
import { resetFigure, setFigure, switchLearned } from '../commands/rules.ts'
import { figurePage, rulesPage } from '../queries/rules-page.ts'
import { figureForm, LearnedForm } from '../schemas/rules.ts'

const VIEW = { config: { may: 'builds.view' } }
const SET = { config: { may: 'estimate.rules' } }

export function ruleRoutes(app: FastifyInstance, { db }: Deps): void {
  const all = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal) => reply.view(Rules, { ...(await rulesPage(db, found(req.member))), refusal }, { status: refusal?.status ?? 200 })
  app.get('/estimate-rules', VIEW, (req, reply) => all(req, reply))
  app.post('/estimate-rules/learnt', SET, (req, reply) =>
    write(req, reply, { schema: LearnedForm, run: (tx, ctx, { rule, skill, use }) => switchLearned(tx, ctx, rule as RuleKey, skill, use === 'yes'), refused: (refusal) => all(req, reply, refusal) }))

  const keyOf = (req: FastifyRequest): string => (req.params as { figureKey: string }).figureKey
  const one = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(RulesFigure, { ...found(await figurePage(db, keyOf(req))), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/estimate-rules/:figureKey', SET, (req, reply) => one(req, reply))
  app.post('/estimate-rules/:figureKey', SET, (req, reply) =>
    write(req, reply, { schema: figureForm(keyOf(req)), run: (tx, ctx, input) => setFigure(tx, ctx, keyOf(req), input), refused: (refusal, typed) => one(req, reply, refusal, typed) }))
  app.post('/estimate-rules/:figureKey/usual', SET, (req, reply) =>
    write(req, reply, { schema: Nothing, run: (tx, ctx) => resetFigure(tx, ctx, keyOf(req)), refused: (refusal) => one(req, reply, refusal) }))

  // Changed figures and what was learnt since, into the tasks that nobody began.
  app.post('/builds/:buildId/measurements/again', { config: { may: 'builds.edit' } }, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: async (tx, ctx) => {
        const { id } = found(req.build)
        const done = await changeBoat(tx, ctx, id, {}, { why: 'worked out anew by the club’s figures' })
        return done.ok ? ok({ location: `/builds/${id}/estimate`, flash: changedWords(done.value) }) : done
      },
      refused: (refusal) => all(req, reply, refusal),
    }))
}
