import type { FastifyInstance, FastifyRequest } from 'fastify'
import { LabelsPage } from '../../../../views/stores/labels.tsx'
import type { Config } from '../../../platform/config.ts'
import type { Deps } from '../../../platform/deps.ts'
import { isUuid } from '../../../platform/request.ts'
import { labelsPage } from '../queries/labels.ts'

/** Where phones find this service: its public address, else the one that the page was asked for at. */
export const baseAddress = (req: FastifyRequest, config: Config): string => config.publicUrl ?? `${req.protocol}://${req.host}`

export default function labels(app: FastifyInstance, { db, config }: Deps): void {
  app.get('/stores/labels', { config: { may: 'stores.view' } }, async (req, reply) => {
    const asked = [(req.query as { item?: unknown }).item ?? []].flat().filter(isUuid)
    return reply.view(LabelsPage, await labelsPage(db, new Set(asked.slice(0, 300)), baseAddress(req, config)))
  })
}
