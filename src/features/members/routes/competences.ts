import type { FastifyInstance, FastifyRequest } from 'fastify'
import { CompetencesView } from '../../../../views/members/competences.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { write } from '../../../platform/write.ts'
import { addCompetence, saveCompetence } from '../commands/competences.ts'
import { competenceList } from '../queries/members.ts'
import { CompetenceForm, EditCompetenceForm } from '../schemas.ts'
import { localDate } from '../../../platform/times.ts'

export default function routes(app: FastifyInstance, { db, clock }: Deps): void {
  const page = async (req: FastifyRequest) => ({ competences: await competenceList(db), today: localDate(req.club?.zone ?? 'UTC', clock.now()) })
  const idOf = (req: FastifyRequest) => {
    const { id } = req.params as { id: string }
    return found(isUuid(id) ? id : null)
  }

  app.get('/competences', { config: { may: 'members.view' } }, async (req, reply) => reply.view(CompetencesView, await page(req)))
  app.post('/competences', { config: { may: 'members.edit' } }, (req, reply) =>
    write(req, reply, {
      schema: CompetenceForm,
      run: addCompetence,
      refused: async (refusal, typed) => reply.view(CompetencesView, { ...(await page(req)), form: 'new', refusal, typed }, { status: refusal.status }),
    }))
  app.post('/competences/:id', { config: { may: 'members.edit' } }, (req, reply) =>
    write(req, reply, {
      schema: EditCompetenceForm,
      run: (tx, ctx, input) => saveCompetence(tx, ctx, idOf(req), input),
      refused: async (refusal, typed) => reply.view(CompetencesView, { ...(await page(req)), form: idOf(req), refusal, typed }, { status: refusal.status }),
    }))
}
