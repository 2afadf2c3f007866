import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { BuildRecordPage, type RecordProps } from '../../../../views/reviews/record.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { maybeDate, version } from '../../../platform/form-fields.ts'
import { localDate } from '../../../platform/times.ts'
import { write } from '../../../platform/write.ts'
import { setInService } from '../../builds/public.ts'
import { hoursCsv, lotsCsv } from './csv.ts'
import { stretchesOf } from './hours.ts'
import { lotsOf } from './lots.ts'
import { buildRecord } from './queries.ts'

const VIEW = { config: { may: 'reviews.view' } }
const idOf = (req: FastifyRequest): string => found(req.build).id
const ServiceForm = z.object({ version, day: maybeDate('The day') })

export function recordRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const today = (req: FastifyRequest) => localDate(found(req.club).zone, clock.now())
  const page = async (req: FastifyRequest, reply: FastifyReply, sent: Pick<RecordProps, 'refusal' | 'typed'> = {}) =>
    reply.view(BuildRecordPage, { ...(await buildRecord(db, idOf(req), found(req.club).zone, req.may('builds.money'))), today: today(req), ...sent }, { status: sent.refusal?.status ?? 200 })
  const csv = (req: FastifyRequest, reply: FastifyReply, name: string, text: string) =>
    reply.header('content-type', 'text/csv; charset=utf-8; header=present').header('cache-control', 'no-store')
      .header('content-disposition', `attachment; filename="${name}-${today(req)}.csv"`).send(text)

  app.get('/builds/:buildId/record', VIEW, (req, reply) => page(req, reply))
  app.get('/builds/:buildId/record/hours.csv', VIEW, async (req, reply) => csv(req, reply, 'hours', hoursCsv(await stretchesOf(db, idOf(req)), found(req.club).zone)))
  app.get('/builds/:buildId/record/lots.csv', VIEW, async (req, reply) => {
    const withMoney = req.may('builds.money')
    return csv(req, reply, 'lots', lotsCsv(await lotsOf(db, idOf(req), withMoney), withMoney ? found(req.club).currency : null))
  })
  app.post('/builds/:buildId/record/in-service', { config: { may: 'builds.edit' } }, (req, reply) =>
    write(req, reply, {
      schema: ServiceForm,
      run: async (tx, ctx, input) => {
        const set = await setInService(tx, ctx, idOf(req), input)
        return set.ok ? ok({ location: `/builds/${idOf(req)}/record`, flash: set.value.text }) : set
      },
      refused: (refusal, typed) => page(req, reply, { refusal, typed }),
    }))
}
