/** The largest club that the service is made for, after a year: 40 builds of 150 tasks, what was meant, worked, drawn and forecast each week. Rows straight into the database. */
import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { addDays } from '../../../src/core/calendar/index.ts'
import type { Prisma } from '../../../src/platform/generated/client.ts'
import { CLUB_HOLDER } from '../../../src/features/stores/public.ts'
import { dice } from '../../support/dice.ts'
import type { BenchClub } from '../club.ts'

export const BUILDS = 40
export const TASKS = 150
const WEEKS = 40
const ITEMS = 60
const CRAFTS = ['wood', 'resin', 'sanding', 'finish', 'handling'] as const
const DAY_MS = 86_400_000

type Rows<T> = { createMany(args: { data: T[] }): Promise<unknown> }
async function put<T>(table: Rows<T>, rows: readonly T[]): Promise<void> {
  for (let at = 0; at < rows.length; at += 2000) await table.createMany({ data: rows.slice(at, at + 2000) })
}

/** @returns a build, the Monday of the week before `club.now`, and how many rows the club has of what grows */
export async function bigClub(club: BenchClub) {
  const { db, make, now } = club
  const die = dice(40)
  const among = <T>(list: readonly T[]): T => list[Math.floor(die.roll() * list.length)]!
  const today = now.toISOString().slice(0, 10)
  const monday = addDays(today, -((new Date(today).getUTCDay() + 6) % 7) - 7)
  const at = (date: string, hour: number) => new Date(Date.parse(`${date}T00:00:00Z`) + hour * 3_600_000)
  const first = addDays(monday, -7 * (WEEKS - 1))
  const mondays = Array.from({ length: WEEKS }, (_, n) => addDays(first, 7 * n))

  const place = await make.place({ name: 'Hall', bays: 40 })
  const members = await db.member.createManyAndReturn({ data: Array.from({ length: 90 }, (_, n) => ({ name: `Member ${n} Surname`, roles: ['builder' as const] })), select: { id: true } })
  const products = await Promise.all(['epoxy', 'paint'].map((kind) => db.cureProduct.create({
    data: { name: `Big ${kind}`, kind, referenceTemp: 20, dustFreeMin: 240, opensMin: 300, closesMin: 1440, sandableMin: 720, handleableMin: 720, fullCureMin: 7200, cureFloor: 8, minAir: 10, ratioBy: 'mass', ratioA: 2, ratioB: 1, source: 'bench' },
  })))
  const items = await db.item.createManyAndReturn({ data: Array.from({ length: ITEMS }, (_, n) => ({ name: `Goods ${n}`, kind: 'other' as const, unit: 'g' as const })), select: { id: true } })
  await make.system({ productId: products[0]!.id, resinItemId: items[0]!.id, hardenerItemId: items[1]!.id })
  const lots = await db.lot.createManyAndReturn({ data: items.flatMap((i) => [0, 1, 2].map(() => ({ itemId: i.id, receivedOn: at(first, 0) }))), select: { id: true, itemId: true } })
  const site = place.siteId
  const sessions = await db.session.createManyAndReturn({
    data: mondays.flatMap((m) => [5, 6].map((d) => ({ siteId: site, date: at(addDays(m, d), 0), starts: '10:00', ends: '17:00', keyholderId: members[0]!.id }))), select: { id: true, date: true },
  })
  await put(db.attendance, sessions.flatMap((s) => members.slice(0, 60).map((m) => ({ sessionId: s.id, memberId: m.id, answer: 'coming' as const, cameAt: die.roll() < 0.7 ? new Date(s.date.getTime() + 8 * 3_600_000) : null }))))
  const plans: { id: bigint }[] = []
  for (const m of [...mondays, monday, monday]) plans.push(await db.plan.create({
    data: { madeAt: at(m, 100), fromAt: at(m, 100), coversRequest: 0n, causes: [], schedules: 1, tookMs: 1, status: 'feasible', score: {}, unplanned: [], dropped: [], missed: [], met: [], moves: [] }, select: { id: true },
  }))

  const rows = {
    builds: [] as Prisma.BuildCreateManyInput[], team: [] as Prisma.BuildMemberCreateManyInput[], phases: [] as Prisma.PhaseCreateManyInput[], tasks: [] as Prisma.TaskCreateManyInput[],
    steps: [] as Prisma.StepCreateManyInput[], materials: [] as Prisma.TaskMaterialCreateManyInput[], links: [] as Prisma.LinkCreateManyInput[], coats: [] as Prisma.CoatCreateManyInput[],
    work: [] as Prisma.WorkLogCreateManyInput[], hands: [] as Prisma.WorkLogPersonCreateManyInput[], weeks: [] as Prisma.BuildWeekCreateManyInput[], pieces: [] as Prisma.PlanPieceCreateManyInput[],
    needs: [] as Prisma.PlanNeedCreateManyInput[], planBuilds: [] as Prisma.PlanBuildCreateManyInput[], forecasts: [] as Prisma.ForecastCreateManyInput[], baselines: [] as Prisma.BaselineCreateManyInput[],
    agreed: [] as Prisma.BaselineTaskCreateManyInput[], snags: [] as Prisma.SnagCreateManyInput[], log: [] as Prisma.LogEntryCreateManyInput[], reviews: [] as Prisma.WeekReviewCreateManyInput[],
  }
  const entries: Record<string, unknown>[] = []
  for (let b = 0; b < BUILDS; b++) {
    const buildId = randomUUID()
    const team = [0, 1, 2, 3].map((n) => members[(b * 2 + n) % members.length]!.id)
    rows.builds.push({ id: buildId, name: `Boat ${b}`, placeId: place.id, startedOn: at(first, 0), listKey: 'sailing-dinghy', listVersion: 1, launchTarget: at(addDays(monday, 200), 0), massTargetG: 60_000 })
    for (const memberId of team) rows.team.push({ buildId, memberId })
    const phaseIds = Array.from({ length: 10 }, () => randomUUID())
    phaseIds.forEach((id, n) => rows.phases.push({ id, buildId, name: `Phase ${n}`, position: n }))
    const ids = Array.from({ length: TASKS }, () => randomUUID())
    // Two a week are finished, so that 80 are by now.
    const finishedIn = (n: number): string | undefined => mondays[Math.floor(n / 2)]
    ids.forEach((id, n) => {
      const isCoat = n % 6 === 5
      const done = finishedIn(n)
      rows.tasks.push({
        id, buildId, phaseId: phaseIds[Math.floor((n * 10) / TASKS)]!, position: n, name: `Task ${n} of boat ${b}`, kind: 'shared', workLowMin: 90, workLikelyMin: 120, workHighMin: 240, handsFrom: 1, handsTo: 2,
        craft: CRAFTS[n % 5]!, ...(isCoat ? { productId: products[n % 2]!.id, smallestMin: null } : { smallestMin: 30 }),
        ...(done ? { startedAt: at(addDays(done, 5), 10), finishedAt: at(addDays(done, 5), 12) } : {}),
      })
      for (let s = 0; s < 3; s++) rows.steps.push({ taskId: id, position: s, text: `Step ${s}`, ...(done ? { tickedAt: at(addDays(done, 5), 11) } : {}) })
      rows.materials.push({ taskId: id, name: 'Goods', unit: 'g', low: 80, likely: 100, high: 150, itemId: among(items).id, line: `line ${n % 20}`, ruleKey: 'seal-first' })
      if (isCoat && n % 2 === 1) rows.materials.push({ taskId: id, name: 'Mixed', unit: 'g', low: 200, likely: 300, high: 400, productId: products[0]!.id, line: `line ${n % 20}`, ruleKey: 'fill-coat' })
      if (n > 0) rows.links.push({ buildId, fromId: ids[n - 1]!, toId: id, kind: isCoat && n % 12 === 11 ? 'window' : 'finish', ...(isCoat && n % 12 === 11 ? { washMin: 60 } : {}) })
      if (isCoat && done) rows.coats.push({ taskId: id, productId: products[n % 2]!.id, placeId: place.id, startedAt: at(addDays(done, 5), 10), endedAt: at(addDays(done, 5), 11), loggedBy: team[0]!, loggedAt: at(addDays(done, 5), 12) })
    })
    mondays.forEach((m, w) => {
      const mine = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => ids[Math.min(TASKS - 1, 2 * w + k)]!)
      rows.weeks.push({
        buildId, monday: at(m, 0), availableMin: 1500, plannedMin: 960, leftMin: 9000, launchAt: at(addDays(m, 200), 12),
        meant: mine.map((taskId, k) => ({ taskId, washLinkId: null, name: `Task ${2 * w + k}`, start: at(addDays(m, 5 + (k > 3 ? 1 : 0)), 9 + (k % 4)).toISOString(), end: at(addDays(m, 5 + (k > 3 ? 1 : 0)), 10 + (k % 4)).toISOString(), people: team.slice(0, 2), placeId: place.id })),
      })
      for (let k = 0; k < 5; k++) {
        const id = randomUUID()
        rows.work.push({ id, buildId, taskId: mine[k]!, startedAt: at(addDays(m, 5), 9 + k), elapsedMin: 60, workedMin: 50, loggedBy: team[0]!, loggedAt: at(addDays(m, 5), 18) })
        for (const memberId of team.slice(0, 1 + (k % 2))) rows.hands.push({ workLogId: id, memberId })
        const lot = among(lots)
        entries.push({ id: randomUUID(), item_id: lot.itemId, lot_id: lot.id, qty_milli: -Math.round(50_000 + die.roll() * 100_000), value_cents: -Math.round(100 + die.roll() * 500), on_date: addDays(m, 5), by_id: team[0], build_id: buildId, task_id: mine[k] })
      }
      rows.log.push({ buildId, kind: w % 3 === 0 ? 'lesson' : 'note', text: `What happened in week ${w}`, at: at(addDays(m, 5), 15), byId: team[0]!, loggedAt: at(addDays(m, 5), 16) })
      rows.forecasts.push({
        planId: plans[w]!.id, buildId, madeAt: at(m, 100), runs: 2000, p10At: at(addDays(m, 180), 0), p50At: at(addDays(m, 200), 0), p80At: at(addDays(m, 220), 0), p90At: at(addDays(m, 230), 0), targetOn: at(addDays(monday, 200), 0), targetChance: 0.4,
        drivers: { phases: [], causes: {}, sources: {}, meanWork: 9000 }, catchUp: { half: null, fourInFive: null }, tookMs: 300,
        inputs: { pace: { factors: [] }, attendance: {}, left: Object.fromEntries(ids.map((id) => [id, { low: 90, likely: 120, high: 240 }])) }, step: { minutes: 1440, parts: [{ cause: 'took-longer', minutes: 1440, detail: '' }] },
      })
      if (w < WEEKS - 2) rows.reviews.push({ buildId, monday: at(m, 0), no: w + 1, state: 'signed', facts: { signer: 'Member', headline: 'A week' }, edits: {}, draftedBy: team[0]!, draftedAt: at(m, 160), signedBy: team[0]!, signedAt: at(m, 160) })
    })
    const open = ids.slice(2 * WEEKS)
    for (const plan of plans.slice(-6)) open.forEach((taskId, n) => rows.pieces.push({
      planId: plan.id, pieceId: taskId, buildId, taskId, startsAt: at(addDays(monday, 12 + 7 * Math.floor(n / 4)), 9 + (n % 4)), endsAt: at(addDays(monday, 12 + 7 * Math.floor(n / 4)), 10 + (n % 4)), people: team.slice(0, 2), placeId: place.id,
      projected: n > 20, binding: { kind: 'start' }, floatMin: 0, freeFloatMin: 0,
    }))
    for (const taskId of open) rows.needs.push({ planId: plans.at(-1)!.id, taskId, itemId: among(items).id, buildId, structural: true, amountMilli: 100_000n, wantedAt: at(addDays(monday, 12), 9), coveredAt: at(monday, 0), shortMilli: 0n })
    for (const plan of plans) rows.planBuilds.push({ planId: plan.id, buildId, launchAt: at(addDays(monday, 200), 12), lateMin: 0, chain: [] })
    const baselineId = randomUUID()
    rows.baselines.push({ id: baselineId, buildId, no: 1, agreedAt: at(first, 30), agreedBy: team[0]!, reason: '', totalMin: TASKS * 135, budgetCents: 150_000n })
    ids.forEach((taskId, n) => rows.agreed.push({ baselineId, taskId, name: `Task ${n}`, phase: 'Phase', minutes: 135, startsAt: at(addDays(first, 3 * n), 9), endsAt: at(addDays(first, 3 * n), 11), cents: 1000n }))
    for (let s = 0; s < 8; s++) rows.snags.push({ buildId, no: s + 1, what: 'Dry spot', whereAt: 'port', bad: 'looks', foundOn: at(addDays(mondays[s * 5]!, 5), 0), foundById: team[0]!, createdAt: at(addDays(mondays[s * 5]!, 5), 15) })
  }
  await put(db.build, rows.builds)
  await put(db.buildMember, rows.team)
  await put(db.phase, rows.phases)
  await put(db.task, rows.tasks)
  await put(db.step, rows.steps)
  await put(db.taskMaterial, rows.materials)
  await put(db.link, rows.links)
  await put(db.coat, rows.coats)
  await put(db.workLog, rows.work)
  await put(db.workLogPerson, rows.hands)
  await put(db.buildWeek, rows.weeks)
  await put(db.planPiece, rows.pieces)
  await put(db.planNeed, rows.needs)
  await put(db.planBuild, rows.planBuilds)
  await put(db.forecast, rows.forecasts)
  await put(db.baseline, rows.baselines)
  await put(db.baselineTask, rows.agreed)
  await put(db.snag, rows.snags)
  await put(db.logEntry, rows.log)
  await put(db.weekReview, rows.reviews)
  await ledger(club, entries, items, lots)
  return { buildId: rows.builds[0]!.id!, monday, says: `${rows.work.length} stretches of work, ${entries.length} draws, ${rows.pieces.length} pieces` }
}

/** Draws as they stand in the book, without the triggers that keep it: what they move is put beside them. */
async function ledger(club: BenchClub, entries: readonly Record<string, unknown>[], items: readonly { id: string }[], lots: readonly { id: string; itemId: string }[]): Promise<void> {
  const client = new pg.Client({ connectionString: club.url })
  await client.connect()
  try {
    await client.query('set session_replication_role = replica')
    for (let at = 0; at < entries.length; at += 2000) {
      await client.query(
        `insert into stock_entry (id, kind, item_id, lot_id, holder_id, qty_milli, value_cents, rule, on_date, at, by_id, why, build_id, task_id)
         select x.id, 'draw', x.item_id, x.lot_id, $2, x.qty_milli, x.value_cents, 'average', x.on_date, x.on_date + time '18:00', x.by_id, '', x.build_id, x.task_id
         from jsonb_to_recordset($1::jsonb) as x(id uuid, item_id uuid, lot_id uuid, qty_milli bigint, value_cents int, on_date date, by_id uuid, build_id uuid, task_id uuid)`,
        [JSON.stringify(entries.slice(at, at + 2000)), CLUB_HOLDER])
    }
    await client.query('insert into lot_balance (lot_id, holder_id, qty_milli) select unnest($1::uuid[]), $2, 5000000', [lots.map((l) => l.id), CLUB_HOLDER])
    await client.query(`insert into stock_account (item_id, holder_id, qty_milli, value_cents, layers) select unnest($1::uuid[]), $2, 15000000, 30000, '[{"q":15000000,"v":30000}]'`, [items.map((i) => i.id), CLUB_HOLDER])
    await client.query('analyze')
  } finally {
    await client.end()
  }
  const days = Math.round((club.now.getTime() - Date.parse(String(entries[0]?.['on_date']))) / DAY_MS)
  if (days < 7 * (WEEKS - 2)) throw new Error(`the big club has a history of ${days} days only`)
}
