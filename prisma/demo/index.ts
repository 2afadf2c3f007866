/** The example club: loaded once, into an empty database. */
import type { FastifyBaseLogger } from 'fastify'
import { addDays, instantToLocal, localToInstant, weekdayOf } from '../../src/core/calendar/index.ts'
import { instant } from '../../src/core/units/index.ts'
import type { Clock } from '../../src/platform/clock.ts'
import { transact, type Db, type Tx } from '../../src/platform/database.ts'
import { changeBoat } from '../../src/features/builds/public.ts'
import { requestReplan } from '../../src/platform/replan.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { offsetTable } from '../../src/platform/zone.ts'
import { loadBase, loadPast, startBuilds } from './load.ts'
import { drawPictures, loadReviews, loadStory } from './load-story.ts'
import { loadOptions } from './options.ts'
import { loadStock } from './stock.ts'
import { loadWeights } from './weights.ts'
import { BUILDS, CLUB, DEMO_PASSWORD, MEMBERS, PAST_WEEKS } from './scenario.ts'

const DAY = 1440

/** @returns how to sign in, for the start's last line */
export async function loadDemo(db: Db, clock: Clock, log: FastifyBaseLogger): Promise<string> {
  if ((await db.club.count()) === 0) await load(db, clock.now(), log)
  return `Sign in as ${MEMBERS[0]?.email} (officer), ${MEMBERS[1]?.email} (keyholder) or ${MEMBERS[3]?.email} (builder); the password is ${DEMO_PASSWORD}`
}

async function load(db: Db, now: Date, log: FastifyBaseLogger): Promise<void> {
  const at = Math.floor(now.getTime() / 60_000)
  const zone = offsetTable(CLUB.zone, instant(at - (PAST_WEEKS + 4) * 7 * DAY), instant(at + 110 * 7 * DAY))
  const today = instantToLocal(zone, instant(at)).date
  const monday = addDays(today, 1 - weekdayOf(today))
  const pictures = await drawPictures()
  await transact(db, async (tx) => {
    const club = await loadBase(tx, today)
    const as = (key: string, at: Date): Ctx => ({ now: at, member: { id: club.members.get(key) ?? '', name: MEMBERS.find((m) => m.key === key)?.name ?? '', roles: ['officer', 'keyholder'] }, clubZone: CLUB.zone, log, may: () => true })
    for (const week of new Set(BUILDS.map((b) => b.startWeek))) {
      const then = as('inge', new Date(localToInstant(zone, { date: addDays(monday, 7 * week), time: '06:00' }) * 60_000))
      await startBuilds(tx, then, week, club, today)
    }
    await loadPast(tx, zone, today, club, as)
    await loadStock(tx, today, club.members, log)
    await workOutAnew(tx, as('inge', now))
    await loadWeights(tx, today, club.members, log)
    await loadStory(tx, as, monday, pictures)
    await loadReviews(tx, as, monday)
    await loadOptions(tx, today, club.members)
    await tx.planRequest.deleteMany()
    await requestReplan(tx, 'The example club was loaded', { now, member: null })
  }, { timeoutMs: 60_000 })
}

/** What is still to do is worked out by what the weighings of the past say. */
async function workOutAnew(tx: Tx, ctx: Ctx): Promise<void> {
  for (const { id, name } of await tx.build.findMany({ select: { id: true, name: true }, orderBy: { name: 'asc' } })) {
    const done = await changeBoat(tx, ctx, id, {}, { why: 'worked out anew by what was weighed' })
    if (!done.ok) throw new Error(`demo: ${name} was refused: ${JSON.stringify(done.refusal)}`)
  }
}
