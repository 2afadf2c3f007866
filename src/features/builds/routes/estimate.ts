import type { FastifyInstance, FastifyRequest } from 'fastify'
import { EstimatePage, EstimateUnfit } from '../../../../views/builds/estimate.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { localDate } from '../../../platform/times.ts'
import { estimateCsv } from '../facts/estimate-csv.ts'
import { estimatePage } from '../queries/estimate-page.ts'

const VIEW = { config: { may: 'builds.view' } }

export function estimateRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const today = (req: FastifyRequest): string => localDate(found(req.club).zone, clock.now())
  const page = (req: FastifyRequest) => estimatePage(db, found(req.build).id, today(req))

  app.get('/builds/:buildId/estimate', VIEW, async (req, reply) => {
    const asked = await page(req)
    return asked.ok ? reply.view(EstimatePage, asked.value) : reply.view(EstimateUnfit, asked.refusal)
  })

  app.get('/builds/:buildId/estimate.csv', VIEW, async (req, reply) => {
    const asked = await page(req)
    const { parts, rest } = found(asked.ok ? asked.value : null)
    const lines = parts.flatMap((p) => p.lines.map((l) => ({ ...l, partName: p.name })))
    return reply
      .header('content-type', 'text/csv; charset=utf-8; header=present')
      .header('content-disposition', `attachment; filename="estimate-${today(req)}.csv"`)
      .send(estimateCsv(lines, rest, req.may('builds.money') ? found(req.club).currency : null))
  })
}
