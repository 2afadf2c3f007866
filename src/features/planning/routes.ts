import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { BuildPlanPage } from '../../../views/planning/build-plan.tsx'
import { BuildWeeksPage } from '../../../views/planning/build-weeks.tsx'
import { CloseOutPage } from '../../../views/planning/close-out.tsx'
import { NoticeboardPage } from '../../../views/planning/noticeboard.tsx'
import { OvernightPage } from '../../../views/planning/overnight.tsx'
import { SessionSheetPage } from '../../../views/planning/session-sheet.tsx'
import { WeeksAheadPage } from '../../../views/planning/weeks-ahead.tsx'
import type { Deps } from '../../platform/deps.ts'
import { found } from '../../platform/errors.ts'
import { isUuid } from '../../platform/request.ts'
import { fromZod, write } from '../../platform/write.ts'
import { closeOut } from './commands/close-out.ts'
import { forecastRoutes } from './forecast/routes.ts'
import { runPlanner } from './jobs/service.ts'
import { movedRoutes } from './moved-routes.ts'
import { optionRoutes } from './option-sheets/routes.ts'
import { pinRoutes } from './pin-routes.ts'
import { buildPlan } from './queries/build-plan.ts'
import { buildWeeks } from './queries/build-weeks.ts'
import { closeOutPage } from './queries/close-out.ts'
import { noticeboard } from './queries/noticeboard.ts'
import { overnight } from './queries/overnight.ts'
import { sessionSheet } from './queries/sheet.ts'
import { weekChart } from './queries/week-chart.ts'
import { reminderRoutes } from './reminders/routes.ts'
import { CloseOutForm, OvernightQuery } from './schemas.ts'
import { stockRoutes } from './stock-routes.ts'

const SessionParams = z.object({ sessionId: z.string() })
const sessionOf = (params: unknown): string => {
  const { sessionId } = SessionParams.parse(params)
  return found(isUuid(sessionId) ? sessionId : null)
}

export default async function planningRoutes(app: FastifyInstance, deps: Deps): Promise<void> {
  const { db, clock } = deps
  const view = { config: { may: 'planning.view' } }
  const { planner, forecaster } = runPlanner(app, deps)
  movedRoutes(app, deps, planner)
  pinRoutes(app, deps)
  stockRoutes(app, deps)
  optionRoutes(app, deps)
  forecastRoutes(app, deps, forecaster)
  reminderRoutes(app, deps)

  app.get('/', view, async (req, reply) => reply.view(NoticeboardPage, await noticeboard(db, found(req.member), clock.now())))

  app.get('/weeks-ahead', view, async (req, reply) => reply.view(WeeksAheadPage, await weekChart(db, found(req.member), clock.now())))

  app.get('/overnight', view, async (req, reply) => {
    const asked = OvernightQuery.safeParse(req.query)
    const ask = asked.success ? asked.data : { product: null, place: null, date: null, time: null, minutes: 60 }
    const page = await overnight(db, ask, clock.now())
    if (asked.success) return reply.view(OvernightPage, page)
    return reply.view(OvernightPage, { ...page, refusal: fromZod(asked.error), typed: req.query as Record<string, string> }, { status: 422 })
  })

  app.get('/sessions/:sessionId/sheet', view, async (req, reply) =>
    reply.view(SessionSheetPage, await sessionSheet(db, found(req.member), sessionOf(req.params), clock.now())))

  app.get('/sessions/:sessionId/close-out', { config: { may: 'planning.closeOut' } }, async (req, reply) =>
    reply.view(CloseOutPage, await closeOutPage(db, found(req.member), sessionOf(req.params), clock.now())))

  app.post('/sessions/:sessionId/close-out', { config: { may: 'planning.closeOut' } }, (req, reply) => {
    const sessionId = sessionOf(req.params)
    return write(req, reply, {
      schema: CloseOutForm,
      run: (tx, ctx, input) => closeOut(tx, ctx, sessionId, input),
      refused: async (refusal, typed) =>
        reply.view(CloseOutPage, { ...(await closeOutPage(db, found(req.member), sessionId, clock.now())), refusal, typed }, { status: refusal.status }),
    })
  })

  app.get('/builds/:buildId/plan', view, async (req, reply) => reply.view(BuildPlanPage, await buildPlan(db, found(req.member), found(req.build).id)))

  app.get('/builds/:buildId/weeks', view, async (req, reply) => reply.view(BuildWeeksPage, await buildWeeks(db, found(req.build).id, clock.now())))
}
