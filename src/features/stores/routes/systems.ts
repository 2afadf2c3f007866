import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { SystemFormPage } from '../../../../views/stores/system-form.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { Version } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { dropSystem, saveSystem } from '../commands/systems.ts'
import { systemFormPage } from '../queries/system-form.ts'
import { SystemForm } from '../schemas/buying.ts'

const KEEP = { config: { may: 'stores.keep' } }
const idOf = (req: FastifyRequest): string => (req.params as { id: string }).id

export default function systems(app: FastifyInstance, { db }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, sent?: { refusal: Refusal; typed: Typed }) =>
    reply.view(SystemFormPage, { ...(await systemFormPage(db, idOf(req))), ...sent }, { status: sent?.refusal.status ?? 200 })
  app.get('/stores/cure-products/:id/system', KEEP, (req, reply) => page(req, reply))
  app.post('/stores/cure-products/:id/system', KEEP, (req, reply) =>
    write(req, reply, { schema: SystemForm, run: (tx, ctx, input) => saveSystem(tx, ctx, idOf(req), input), refused: (refusal, typed) => page(req, reply, { refusal, typed }) }))
  app.post('/stores/cure-products/:id/system/drop', KEEP, (req, reply) =>
    write(req, reply, { schema: Version, run: (tx, ctx, { version }) => dropSystem(tx, ctx, idOf(req), version), refused: (refusal, typed) => page(req, reply, { refusal, typed }) }))
}
