import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { isoDate } from '../../../platform/times.ts'
import { buildCost } from '../../stores/public.ts'
import { taskStates, type TaskState } from './task-states.ts'

/** What every page of a build shows of it. */
export async function buildHead(db: Reader, buildId: string) {
  const b = found(await db.build.findUnique({
    where: { id: buildId },
    select: {
      id: true, name: true, design: true, state: true, visibility: true, priority: true, launchTarget: true, startedOn: true, inServiceOn: true, listKey: true, grade: true, pausedOn: true,
      pauseNote: true, version: true, placeId: true, launchTaskId: true,
      place: { select: { name: true } },
      team: { select: { member: { select: { id: true, name: true, isMinor: true, isActive: true } } }, orderBy: { member: { name: 'asc' } } },
    },
  }))
  const date = (d: Date | null) => (d === null ? null : isoDate(d))
  return { ...b, place: b.place.name, team: b.team.map((m) => m.member), launchTarget: date(b.launchTarget), startedOn: isoDate(b.startedOn), inServiceOn: date(b.inServiceOn), pausedOn: date(b.pausedOn) }
}
export type BuildHead = Awaited<ReturnType<typeof buildHead>>

export type TaskLine = {
  id: string
  name: string
  state: TaskState['state']
  word: string
  why: string
  isWindowOpen: boolean
  loggedMin: number
  leftMin: number
  likelyMin: number
  handsFrom: number
  handsTo: number
  steps: number
  ticked: number
  isPinned: boolean
  isCoat: boolean
}
export type PhaseLines = { id: string; name: string; tasks: TaskLine[]; done: number; isOpen: boolean }

export async function buildPage(db: Reader, buildId: string, now: Date): Promise<{ build: BuildHead; phases: PhaseLines[]; holds: number; snags: number; costCents: number }> {
  const build = await buildHead(db, buildId)
  const states = await taskStates(db, [buildId], now)
  const phases = await db.phase.findMany({
    where: { buildId },
    select: {
      id: true, name: true,
      tasks: {
        select: {
          id: true, name: true, workLikelyMin: true, handsFrom: true, handsTo: true, productId: true,
          steps: { select: { tickedAt: true } }, _count: { select: { pins: { where: { endsAt: { gt: now } } } } },
        },
        orderBy: [{ position: 'asc' }, { id: 'asc' }],
      },
    },
    orderBy: [{ position: 'asc' }, { id: 'asc' }],
  })
  const lines = phases.map((p) => {
    const tasks = p.tasks.map((t): TaskLine => {
      const s = states.get(t.id)!
      return {
        id: t.id, name: t.name, state: s.state, word: s.word, why: s.why, isWindowOpen: s.state === 'ready' && s.window !== null,
        loggedMin: s.loggedMin, leftMin: s.leftMin, likelyMin: t.workLikelyMin, handsFrom: t.handsFrom, handsTo: t.handsTo,
        steps: t.steps.length, ticked: t.steps.filter((x) => x.tickedAt !== null).length, isPinned: t._count.pins > 0, isCoat: t.productId !== null,
      }
    })
    return { id: p.id, name: p.name, tasks, done: tasks.filter((t) => t.state === 'done').length, isOpen: false }
  })
  // Open are the phases where something is going on, or could.
  const live = (l: (typeof lines)[number]) => l.tasks.some((t) => t.state === 'under-way' || t.state === 'ready' || t.state === 'wash' || t.state === 'curing')
  const shown = lines.map((l) => ({ ...l, isOpen: live(l) || l.tasks.length === 0 }))
  if (!shown.some((l) => l.isOpen)) for (const l of shown) if (l.done < l.tasks.length) l.isOpen = true
  return { build, phases: shown, holds: await db.hold.count({ where: { buildId } }), snags: await db.snag.count({ where: { buildId, closedOn: null, withdrawnAt: null } }), costCents: (await buildCost(db, buildId)).cents }
}

/** What came of starting her: sums of her list, and what was left out or is beyond the club as it is. */
export async function startedPage(db: Reader, buildId: string) {
  const build = await buildHead(db, buildId)
  const started = await db.auditRow.findFirst({ where: { buildId, what: 'build started' }, orderBy: { id: 'desc' }, select: { after: true } })
  const notes = (started?.after as { notes?: string[] } | null)?.notes ?? []
  const tasks = await db.task.findMany({
    where: { buildId },
    select: {
      id: true, name: true, kind: true, workLowMin: true, workLikelyMin: true, workHighMin: true, handsFrom: true, handsTo: true, smallestMin: true, setUpMin: true, clearUpMin: true,
      productId: true, materials: true,
    },
    orderBy: [{ position: 'asc' }, { id: 'asc' }],
  })
  const windows = await db.link.count({ where: { buildId, kind: 'window' } })
  return { build, notes, tasks, windows }
}
