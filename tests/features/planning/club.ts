import { planOnce, type PlannerParts } from '../../../src/features/planning/jobs/planner.ts'
import { solveHere } from '../../../src/features/planning/jobs/solve.ts'
import { forecastHere } from '../../../src/features/planning/jobs/forecast-here.ts'
import { forecastNow as forecastPlan } from '../../../src/features/planning/jobs/forecasts.ts'
import type { Runs } from '../../../src/features/planning/forecast/compute.ts'
import type { Prisma } from '../../../src/platform/generated/client.ts'
import type { Result } from '../../../src/core/result.ts'
import { transact, type Tx } from '../../../src/platform/database.ts'
import type { Ctx, Refusal } from '../../../src/platform/write.ts'
import type { Person, TestClub } from '../../support/app.ts'

export const day = (date: string) => new Date(`${date}T00:00:00Z`)

/** A quiet club in Berlin: one workshop at 18 °C night and day, Ann (keyholder) and Ben (builder), one build of theirs. */
export async function smallClub(club: TestClub) {
  const { db, make } = club
  const site = await make.site({ name: 'The shed' })
  const place = await make.place({ siteId: site.id, name: 'Main floor', bays: 2, settleMin: 60 })
  const ann = await make.member(['keyholder', 'builder'], { name: 'Ann' })
  const ben = await make.member(['builder'], { name: 'Ben' })
  const build = await make.build({ name: 'Skua', placeId: place.id, startedOn: day('2026-05-01') }, [ann.id, ben.id])
  const phase = await make.phase(build.id, { name: 'Hull' })
  // Opens 5 h after its end at 20 °C, no closing but 24 h after its start, sandable after 12 h; at 18 °C each a little later.
  const epoxy = await db.cureProduct.create({
    data: {
      name: 'Slow epoxy', kind: 'epoxy', referenceTemp: 20, dustFreeMin: 240, opensMin: 300, closesMin: 1440, closesCapMin: 1440, sandableMin: 720, handleableMin: 720, fullCureMin: 7200,
      cureFloor: 8, minAir: 10, source: 'made up for this test',
    },
  })
  let position = 0
  const task = (name: string, over: Partial<Prisma.TaskUncheckedCreateInput> = {}) => {
    const likely = over.workLikelyMin ?? 120
    return db.task.create({
      data: {
        buildId: build.id, phaseId: phase.id, position: ++position, name, kind: 'shared', workLowMin: likely, workLikelyMin: likely, workHighMin: likely, handsFrom: 1, handsTo: 2, smallestMin: 30, ...over,
      },
    })
  }
  const coat = (name: string, over: Partial<Prisma.TaskUncheckedCreateInput> = {}) => task(name, { productId: epoxy.id, smallestMin: null, workLikelyMin: 60, handsTo: 1, ...over })
  const link = (fromId: string, toId: string, over: Partial<Prisma.LinkUncheckedCreateInput> = {}) => db.link.create({ data: { buildId: build.id, fromId, toId, kind: 'finish', ...over } })
  /** A session that Ann opens and both come to. */
  const session = async (date: string, starts: string, ends: string, people = [ann.id, ben.id]) =>
    db.session.create({
      data: { siteId: site.id, date: day(date), starts, ends, keyholderId: ann.id, attendance: { create: people.map((memberId) => ({ memberId, answer: 'coming' as const })) } },
    })
  return { site, place, ann, ben, build, phase, epoxy, task, coat, link, session }
}

export const plannerParts = (club: TestClub): PlannerParts => ({ db: club.db, clock: club.clock, log: club.app.log, solver: solveHere, timeMs: 5_000 })

/** What a running service does by itself: answers what was asked for. */
export const planNow = (club: TestClub) => planOnce(plannerParts(club))

/** Fewer launches than the service simulates: enough for what a test asks. */
export const FEW: Runs = { own: 200, catchUp: 60, tried: 60 }
/** What a running service does after a plan: forecasts each build of it. Answers how many. */
export const forecastNow = (club: TestClub, runs: Runs = FEW) => forecastPlan({ db: club.db, clock: club.clock, log: club.app.log, forecaster: forecastHere, runs })

export const askForPlan = (club: TestClub, cause = 'a test') => club.db.planRequest.create({ data: { cause, at: club.clock.now() } })

/** Pieces of the plan that pages show, as "name Sat 10:00–12:00 by Ann". */
export async function planned(club: TestClub): Promise<string[]> {
  const plan = await club.db.plan.findFirst({ where: { status: { not: 'failed' } }, orderBy: { id: 'desc' }, include: { pieces: { orderBy: [{ startsAt: 'asc' }, { pieceId: 'asc' }] } } })
  const names = new Map((await club.db.task.findMany()).map((t) => [t.id, t.name]))
  const people = new Map((await club.db.member.findMany()).map((m) => [m.id, m.name]))
  const at = (d: Date, options: Intl.DateTimeFormatOptions) => new Intl.DateTimeFormat('en-GB', { timeZone: 'Europe/Berlin', hour: '2-digit', minute: '2-digit', ...options }).format(d)
  return (plan?.pieces ?? []).map((p) => {
    const name = `${p.washLinkId ? 'wash before ' : ''}${names.get(p.taskId)}`
    const who = p.people.map((id) => people.get(id)).sort().join('+')
    return `${name} ${at(p.startsAt, { weekday: 'short' }).replace(',', '')}–${at(p.endsAt, {})}${who ? ` by ${who}` : ''}`
  })
}

/** Text of a page as a reader sees it: tags out, spaces single. */
export const textOf = (html: string): string => html.replace(/<[^>]+>/g, ' ').replaceAll('&#39;', '’').replaceAll('&amp;', '&').replaceAll('&quot;', '"').replace(/\s+/g, ' ')

/** Runs a command of another feature as one of its routes would; it must not be refused. */
export async function command(club: TestClub, memberId: string, run: (tx: Tx, ctx: Ctx) => Promise<Result<unknown, Refusal>>): Promise<void> {
  const member = await club.db.member.findUniqueOrThrow({ where: { id: memberId }, select: { id: true, name: true, roles: true } })
  const ctx: Ctx = { now: club.clock.now(), member, clubZone: 'Europe/Berlin', log: club.app.log, may: () => true }
  const result = await transact(club.db, (tx) => run(tx, ctx))
  if (!result.ok) throw new Error(result.refusal.message)
}

/** The page that a person lands on after the last request for a plan. */
export async function landed(club: TestClub, person: Person, url = '/'): Promise<string> {
  const last = await club.db.planRequest.findFirstOrThrow({ orderBy: { id: 'desc' } })
  return textOf((await person.get(url, { cookie: `garboard_after=${last.id}` })).body)
}
