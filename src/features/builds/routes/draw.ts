import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { z } from 'zod'
import { Draw } from '../../../../views/builds/draw.tsx'
import type { Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Ctx, type Done, type Refusal, type Typed } from '../../../platform/write.ts'
import { drawForTask, putBack, undoEntry, weighBack } from '../commands/draw.ts'
import { drawPage } from '../queries/draw-page.ts'
import { BackForm, DrawForm, UndoForm, WeighForm } from '../schemas/draw.ts'
import { idsOf } from './task-view.ts'

const LOG = { config: { may: 'builds.log' } }
/** Which form of the page was refused, and of which entry. */
export type DrawSent = { form: 'draw' | 'weigh' | 'back' | 'undo'; entryId?: string; refusal: Refusal; typed: Typed }

export function drawRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const show = async (req: FastifyRequest, reply: FastifyReply, sent?: DrawSent) => {
    const { buildId, taskId } = idsOf(req)
    const { item = '' } = req.query as { item?: string }
    return reply.view(Draw, { ...(await drawPage(db, buildId, taskId, found(req.member).id, clock.now())), only: item, sent }, { status: sent?.refusal.status ?? 200 })
  }
  const at = '/builds/:buildId/tasks/:taskId/draw'
  const entryOf = (req: FastifyRequest): string => (req.params as { entryId?: string }).entryId ?? ''
  const form = <S extends z.ZodType>(path: string, name: DrawSent['form'], schema: S, run: (tx: Tx, ctx: Ctx, req: FastifyRequest, input: z.output<S>) => Promise<Result<Done, Refusal>>) =>
    app.post(`${at}${path}`, LOG, (req: FastifyRequest, reply: FastifyReply) =>
      write(req, reply, { schema, run: (tx, ctx, input) => run(tx, ctx, req, input), refused: (refusal, typed) => show(req, reply, { form: name, entryId: entryOf(req), refusal, typed }) }))

  app.get(at, LOG, (req, reply) => show(req, reply))
  form('', 'draw', DrawForm, (tx, ctx, req, input) => drawForTask(tx, ctx, idsOf(req), input))
  form('/weigh', 'weigh', WeighForm, (tx, ctx, req, input) => weighBack(tx, ctx, idsOf(req), input))
  form('/:entryId/back', 'back', BackForm, (tx, ctx, req, input) => putBack(tx, ctx, idsOf(req), entryOf(req), input))
  form('/:entryId/undo', 'undo', UndoForm, (tx, ctx, req, input) => undoEntry(tx, ctx, idsOf(req), entryOf(req), input))
}
