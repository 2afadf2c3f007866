import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Materials } from '../../../../views/builds/materials.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { saveMaterials } from '../commands/materials.ts'
import { materialsPage } from '../queries/materials-page.ts'
import { MaterialsForm } from '../schemas/materials.ts'

export function materialRoutes(app: FastifyInstance, { db }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(Materials, { ...(await materialsPage(db, found(req.build).id)), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/materials', { config: { may: 'builds.view' } }, (req, reply) => page(req, reply))
  app.post('/builds/:buildId/materials', { config: { may: 'builds.edit' } }, (req, reply) =>
    write(req, reply, { schema: MaterialsForm, run: (tx, ctx, input) => saveMaterials(tx, ctx, found(req.build).id, input), refused: (refusal, typed) => page(req, reply, refusal, typed) }))
}
