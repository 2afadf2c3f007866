import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import { isUuid } from '../../../../platform/request.ts'
import { localDate } from '../../../../platform/times.ts'
import { hoursField } from '../../facts/parse-hours.ts'
import { entryLine, entrySelect } from '../../log/queries/log.ts'
import { buildHead } from '../../queries/build-page.ts'
import { faultOf, FAULTS, MINORS } from '../catalogue.ts'
import { reworkPlace } from './follow.ts'
import { snagLine, snagSelect, snagsOf, type SnagLine } from './snags.ts'
import { usualRework } from './usual.ts'

const today = async (db: Reader, now: Date) => localDate((await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })).zone, now)
const taskChoices = (db: Reader, buildId: string) =>
  db.task.findMany({ where: { buildId }, select: { id: true, name: true, phase: { select: { name: true } } }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
const faultChoices = () => FAULTS.map(({ key, name, looks }) => ({ key, name, looks }))

export async function snagsPage(db: Reader, buildId: string, now: Date) {
  const all = await snagsOf(db, buildId)
  return { build: await buildHead(db, buildId), open: all.filter((s) => s.closedOn === null), closed: all.filter((s) => s.closedOn !== null), today: await today(db, now) }
}
export type SnagsPageModel = Awaited<ReturnType<typeof snagsPage>>

/** The form for a new one, about the task that it was found at if the address says so. */
export async function snagForm(db: Reader, buildId: string, now: Date, taskId?: string) {
  return { build: await buildHead(db, buildId), tasks: await taskChoices(db, buildId), faults: faultChoices(), today: await today(db, now), taskId: isUuid(taskId) ? taskId : null }
}
export type SnagFormModel = Awaited<ReturnType<typeof snagForm>>

/** The form begins with the usual repair; a person changes what is different here. */
async function reworkForm(db: Reader, snag: SnagLine, buildId: string) {
  const { name, steps, afterCure, minutes, hands, dusty, productId, before } = await usualRework(db, buildId, snag.id)
  const place = await reworkPlace(db, buildId, snag)
  const products = await db.cureProduct.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  return {
    values: {
      name, steps: steps.join('\n'), afterCure: afterCure.join('\n'), low: hoursField(minutes.low), likely: hoursField(minutes.likely), high: hoursField(minutes.high),
      handsFrom: hands.from, handsTo: hands.to, dusty, productId,
    },
    products, before, phase: place.tasks.find((t) => t.phaseId === place.phaseId)?.phase ?? null, hasLaunch: place.launchTaskId !== null,
    tasks: place.tasks.filter((t) => t.isOpen && t.id !== snag.taskId).map(({ id, name: text, phase, phaseId }) => ({ id, name: text, phase, isNear: phaseId === place.phaseId || before.includes(id) })),
  }
}
export type ReworkFormModel = Awaited<ReturnType<typeof reworkForm>>

export async function snagPage(db: Reader, buildId: string, snagId: string, now: Date) {
  const row = found(await db.snag.findFirst({ where: { id: snagId, buildId, withdrawnAt: null }, select: snagSelect }))
  const snag = snagLine(row)
  const fault = faultOf(snag.kind)
  const isPlanned = snag.rework !== null && snag.rework.finishedAt === null
  return {
    build: await buildHead(db, buildId), snag, today: await today(db, now),
    fault: fault && { name: fault.name, looks: fault.looks, steps: fault.steps, afterCure: fault.afterCure, caution: fault.caution, alsoTakes: fault.alsoTakes },
    minors: MINORS,
    rework: snag.closedOn === null && !isPlanned ? await reworkForm(db, snag, buildId) : null,
    entries: (await db.logEntry.findMany({ where: { snagId, withdrawnAt: null }, select: entrySelect, orderBy: [{ at: 'desc' }, { id: 'asc' }] })).map(entryLine),
  }
}
export type SnagPageModel = Awaited<ReturnType<typeof snagPage>>

export async function editSnagPage(db: Reader, buildId: string, snagId: string, now: Date) {
  const row = found(await db.snag.findFirst({ where: { id: snagId, buildId, withdrawnAt: null }, select: snagSelect }))
  return { ...(await snagForm(db, buildId, now)), snag: snagLine(row) }
}
export type EditSnagModel = Awaited<ReturnType<typeof editSnagPage>>

/** Snags found at a task, and the one whose rework it is. */
export async function snagsOfTask(db: Reader, taskId: string) {
  const rows = await db.snag.findMany({
    where: { withdrawnAt: null, OR: [{ taskId }, { reworkTaskId: taskId }] },
    select: { id: true, no: true, what: true, whereAt: true, bad: true, closedOn: true, reworkTaskId: true },
    orderBy: { no: 'asc' },
  })
  return rows.map(({ closedOn, reworkTaskId, ...s }) => ({ ...s, isOpen: closedOn === null, isReworkHere: reworkTaskId === taskId }))
}
