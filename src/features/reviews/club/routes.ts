import type { FastifyInstance } from 'fastify'
import { ClubSheetPage } from '../../../../views/reviews/club-sheet.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { clubSheet } from './queries.ts'
import { ClubWeek } from './schemas.ts'

export function clubRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  app.get('/club-sheet', { config: { may: 'reviews.view' } }, async (req, reply) => {
    const asked = ClubWeek.safeParse(req.query)
    const sheet = await clubSheet(db, found(req.member), asked.success ? asked.data.week : null, clock.now())
    if (asked.success) return reply.view(ClubSheetPage, sheet)
    return reply.view(ClubSheetPage, { ...sheet, refusal: { status: 422, message: asked.error.issues[0]?.message ?? 'There is no such week.' } }, { status: 422 })
  })
}
