import type { FastifyInstance, FastifyRequest } from 'fastify'
import { SeriesView, type SeriesProps } from '../../../../views/sessions/series.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { changeSeries, endSeries, seriesFields } from '../commands/series.ts'
import { seriesPage } from '../queries/sessions.ts'
import { EndSeriesForm, SeriesForm } from '../schemas/session.ts'
import { idIn, todayIn } from './params.ts'

export default function routes(app: FastifyInstance, { db, clock }: Deps): void {
  const view = { config: { may: 'sessions.view' } }
  const edit = { config: { may: 'sessions.edit' } }
  const page = async (req: FastifyRequest, sent: Pick<SeriesProps, 'form'> & { refusal?: Refusal; typed?: Typed } = {}) => {
    const today = todayIn(req, clock.now())
    const loaded = found(await seriesPage(db, idIn(req, 'seriesId'), today))
    return { ...loaded, fields: { ...seriesFields(loaded.series), fromOn: loaded.coming[0]?.date ?? today }, today, ...sent }
  }
  app.get('/sessions/series/:seriesId', view, async (req, reply) => reply.view(SeriesView, await page(req)))
  app.post('/sessions/series/:seriesId', edit, (req, reply) =>
    write(req, reply, {
      schema: SeriesForm,
      run: (tx, ctx, input) => changeSeries(tx, ctx, idIn(req, 'seriesId'), input),
      refused: async (refusal, typed) => reply.view(SeriesView, await page(req, { form: 'change', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/sessions/series/:seriesId/end', edit, (req, reply) =>
    write(req, reply, {
      schema: EndSeriesForm,
      run: (tx, ctx, input) => endSeries(tx, ctx, idIn(req, 'seriesId'), input),
      refused: async (refusal, typed) => reply.view(SeriesView, await page(req, { form: 'end', refusal, typed }), { status: refusal.status }),
    }))
}
