import type { FastifyInstance } from 'fastify'
import { LayoutPage } from '../../../../views/builds/layout.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { fromZod, type Typed } from '../../../platform/write.ts'
import { CUTTING } from '../layout/layout.ts'
import { layoutPage } from '../queries/layout.ts'
import { layoutQuery } from '../schemas/layout.ts'

export function layoutRoutes(app: FastifyInstance, { db }: Deps): void {
  app.get('/builds/:buildId/layout', { config: { may: 'builds.view' } }, async (req, reply) => {
    const asked = layoutQuery(found(req.club).units).safeParse(req.query)
    const refusal = asked.success ? undefined : fromZod(asked.error)
    const page = await layoutPage(db, found(req.build).id, asked.success ? asked.data : CUTTING)
    return reply.view(LayoutPage, { ...page, refusal, typed: refusal && (req.query as Typed) }, { status: refusal?.status ?? 200 })
  })
}
