import type { FastifyInstance, FastifyRequest } from 'fastify'
import { NewToolView, ToolView, type ToolProps } from '../../../../views/sessions/tool.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing, Version } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { addOutage, endOutage, saveTool, toolFields } from '../commands/tools.ts'
import { toolChoices, toolPage } from '../queries/workshop.ts'
import { OutageForm, ToolForm } from '../schemas/tool.ts'
import { idIn, todayIn } from './params.ts'

const view = { config: { may: 'workshop.view' } }
const edit = { config: { may: 'workshop.edit' } }

export default function routes(app: FastifyInstance, { db, clock }: Deps): void {
  app.get('/workshop/tools/new', edit, async (_req, reply) => reply.view(NewToolView, { choices: await toolChoices(db) }))
  app.post('/workshop/tools/new', edit, (req, reply) =>
    write(req, reply, {
      schema: ToolForm,
      run: (tx, ctx, input) => saveTool(tx, ctx, null, input),
      refused: async (refusal, typed) => reply.view(NewToolView, { choices: await toolChoices(db), refusal, typed }, { status: refusal.status }),
    }))

  const page = async (req: FastifyRequest, sent: Pick<ToolProps, 'form'> & { refusal?: Refusal; typed?: Typed } = {}) => {
    const loaded = found(await toolPage(db, idIn(req, 'toolId')))
    return { ...loaded, fields: toolFields(loaded.tool), today: todayIn(req, clock.now()), ...sent }
  }
  app.get('/workshop/tools/:toolId', view, async (req, reply) => reply.view(ToolView, await page(req)))
  app.post('/workshop/tools/:toolId', edit, (req, reply) =>
    write(req, reply, {
      schema: ToolForm.and(Version),
      run: (tx, ctx, { version, ...input }) => saveTool(tx, ctx, { id: idIn(req, 'toolId'), version }, input),
      refused: async (refusal, typed) => reply.view(ToolView, await page(req, { form: 'tool', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/workshop/tools/:toolId/outages', edit, (req, reply) =>
    write(req, reply, {
      schema: OutageForm,
      run: (tx, ctx, input) => addOutage(tx, ctx, idIn(req, 'toolId'), input),
      refused: async (refusal, typed) => reply.view(ToolView, await page(req, { form: 'outage', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/workshop/tools/:toolId/outages/:outageId/end', edit, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: (tx, ctx) => endOutage(tx, ctx, idIn(req, 'toolId'), idIn(req, 'outageId'), todayIn(req, clock.now())),
      refused: async (refusal) => reply.view(ToolView, await page(req, { refusal }), { status: refusal.status }),
    }))
}
