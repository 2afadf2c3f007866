import type { FastifyInstance } from 'fastify'
import { LabelsPage } from '../../../../views/stores/labels.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { baseAddress, isUuid } from '../../../platform/request.ts'
import { labelsPage } from '../queries/labels.ts'

export default function labels(app: FastifyInstance, { db, config }: Deps): void {
  app.get('/stores/labels', { config: { may: 'stores.view' } }, async (req, reply) => {
    const asked = [(req.query as { item?: unknown }).item ?? []].flat().filter(isUuid)
    return reply.view(LabelsPage, await labelsPage(db, new Set(asked.slice(0, 300)), baseAddress(req, config)))
  })
}
