import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { TaskMixPage } from '../../../../views/builds/task-mix.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { localDate } from '../../../platform/times.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { LogBatchForm, logBatch } from '../../stores/public.ts'
import { tellPages } from '../commands/changed.ts'
import { lockTask } from '../commands/found.ts'
import { taskMix } from '../queries/task-mix.ts'
import { idsOf } from './task-view.ts'

export function mixRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const show = async (req: FastifyRequest, reply: FastifyReply, logged?: { refusal: Refusal; typed: Typed }) => {
    const { buildId, taskId } = idsOf(req)
    const now = clock.now()
    const typed = logged?.typed['structural']
    const structural = typed === undefined ? null : typed === 'yes'
    const page = await taskMix(db, buildId, taskId, (req.query ?? {}) as Typed, now, localDate(found(req.club).zone, now), structural)
    const query = req.url.includes('?') ? req.url.slice(req.url.indexOf('?')) : ''
    return reply.view(TaskMixPage, { ...page, query, logged }, { status: logged?.refusal.status ?? page.asked?.refusal?.status ?? 200 })
  }
  app.get('/builds/:buildId/tasks/:taskId/mix', { config: { may: 'builds.view' } }, (req, reply) => show(req, reply))
  app.post('/builds/:buildId/tasks/:taskId/mix', { config: { may: 'builds.log' } }, (req, reply) =>
    write(req, reply, {
      schema: LogBatchForm,
      run: async (tx, ctx, input) => {
        const { buildId, taskId } = idsOf(req)
        const task = await lockTask(tx, buildId, taskId)
        if (!task.ok) return task
        const logged = await logBatch(tx, ctx, {
          productId: input.product, massMg: input.resin + input.hardener, resinMg: input.resin, hardenerMg: input.hardener, structural: input.structural, offRatio: input.offRatio,
          resin: { lotId: input.resinLot, weighedMg: input.resinLeft }, hardener: { lotId: input.hardenerLot, weighedMg: input.hardenerLeft },
          note: input.note, by: input.by === '' ? undefined : input.by, buildId, taskId,
        })
        if (!logged.ok) return logged
        await tellPages(tx, buildId)
        // On to the next batch; the card now shows what is left.
        return ok({ location: `/builds/${buildId}/tasks/${taskId}/mix`, flash: `Batch ${logged.value.number} is booked from ${logged.value.lots.map((n) => `lot ${n}`).join(' and ')}.` })
      },
      refused: (refusal, typed) => show(req, reply, { refusal, typed }),
    }))
}
