import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import type { Actor } from '../../../platform/write.ts'
import { taskStates, type TaskState } from '../../builds/public.ts'
import type { NameBook, StoredPlan, Suggestion } from '../model.ts'
import { toInstant } from '../times.ts'
import type { StockUnit } from '../stock-model.ts'
import { coverOf, type Cover } from './build-stock.ts'
import { nameBook } from './names.ts'
import { planNeeds } from './needs.ts'
import { currentPlan } from './plans.ts'
import { comers, isInSession, sessionCard, siteOfPlaces, zoneAround, type Comer, type SessionCard } from './sessions.ts'
import { pieceViews, windowViews, type PieceView, type WindowView } from './shown.ts'
import { finishedOf, readyOf, type ReadyView } from './states.ts'
import { visibleBuilds, type BuildCard } from './visible.ts'

export type SheetStep = { readonly id: string; readonly text: string; readonly caution: string; readonly ticked: boolean }
export type SheetTask = {
  readonly id: string
  readonly name: string
  readonly note: string
  readonly caution: string
  readonly kind: 'shared' | 'together' | 'unattended'
  readonly dusty: boolean
  readonly product: { readonly name: string; readonly hazard: string; readonly kind: string } | null
  readonly tools: readonly { readonly name: string; readonly count: number; readonly heldUntil: string | null }[]
  /** Of the whole task; what is in the stores is in `fromStores` alone. */
  readonly materials: readonly { readonly name: string; readonly unit: string; readonly low: number; readonly likely: number; readonly high: number }[]
  /** What it still takes from the stores. */
  readonly fromStores: readonly SheetNeed[]
  readonly steps: readonly SheetStep[]
}
export type SheetNeed = { readonly itemId: string; readonly name: string; readonly unit: StockUnit; readonly shelf: string; readonly milli: number; readonly short: number; readonly covered: number; readonly cover: Cover }
export type SheetPiece = PieceView & { readonly task: SheetTask; /** Minutes of the piece that count as progress. */ readonly worked: number }

/** Hours logged in the session. */
export type SheetLog = { readonly id: string; readonly taskId: string; readonly buildId: string; readonly isWash: boolean; readonly start: number; readonly minutes: number; readonly people: readonly string[] }

export type Sheet = {
  readonly names: NameBook
  readonly session: SessionCard
  readonly comers: readonly Comer[]
  readonly builds: readonly BuildCard[]
  readonly pieces: readonly SheetPiece[]
  readonly windows: readonly WindowView[]
  readonly states: ReadonlyMap<string, TaskState>
  readonly suggestions: readonly Suggestion[]
  readonly logs: readonly SheetLog[]
  readonly ready: readonly ReadyView[]
  readonly hasPlan: boolean
}

export async function sessionSheet(db: Reader, member: Actor, sessionId: string, now: Date): Promise<Sheet> {
  const zone = await zoneAround(db, now)
  const session = found(await sessionCard(db, zone, sessionId))
  const builds = await visibleBuilds(db, member)
  const ids = builds.map((b) => b.id)
  const [names, plan, who, siteOf, states, logs] = await Promise.all([
    nameBook(db, ids), currentPlan(db), comers(db, now, [session]), siteOfPlaces(db), taskStates(db, ids, now), logsOf(db, sessionId, ids),
  ])
  const mine = plan ? pieceViews(plan, names).filter((p) => ids.includes(p.buildId)).filter(isInSession(session, siteOf)) : []
  const taskIds = [...new Set(mine.map((p) => taskOf(names, p.taskId)))]
  const tasks = await tasksOf(db, taskIds, plan ? await needsOf(db, plan, taskIds) : new Map<string, SheetNeed[]>())
  const finished = finishedOf(states)
  // A window matters on the day if it opens or shuts around the session.
  const touches = (w: WindowView) => w.opens < session.end && (w.closes === null || w.closes > session.start) && w.opens > session.start - 2 * 1440
  return {
    names, session, builds, states, logs,
    ready: session.state === 'planned' ? readyOf(states, mine) : [],
    comers: who.get(session.id) ?? [],
    pieces: mine.flatMap((p): SheetPiece[] => {
      const task = tasks.get(taskOf(names, p.taskId))
      return task ? [{ ...p, task: task.task, worked: Math.max(1, p.end - p.start - (p.taskId.startsWith('wash:') ? 0 : task.around)) }] : []
    }),
    windows: plan ? windowViews(plan, names, finished).filter((w) => ids.includes(w.buildId) && touches(w)) : [],
    suggestions: (plan?.suggestions ?? []).filter((s) => ids.includes(s.buildId) && s.start >= toInstant(now) && s.start < session.end && s.start >= session.start),
    hasPlan: plan !== null,
  }
}

async function logsOf(db: Reader, sessionId: string, buildIds: readonly string[]): Promise<SheetLog[]> {
  const rows = await db.workLog.findMany({
    where: { sessionId, buildId: { in: [...buildIds] } },
    select: { id: true, taskId: true, buildId: true, linkId: true, startedAt: true, elapsedMin: true, reversesId: true, people: { select: { memberId: true } } },
    orderBy: [{ startedAt: 'asc' }, { id: 'asc' }],
  })
  const back = new Set(rows.map((r) => r.reversesId))
  return rows.filter((r) => r.reversesId === null && !back.has(r.id)).map((r) => ({
    id: r.id, taskId: r.taskId, buildId: r.buildId, isWash: r.linkId !== null, start: toInstant(r.startedAt), minutes: r.elapsedMin, people: r.people.map((p) => p.memberId),
  }))
}

/** The task that a piece is about; of a wash, the coat it is for. */
const taskOf = (names: NameBook, id: string): string => (id.startsWith('wash:') ? (names.links.get(id.slice(5))?.to ?? id) : id)

/** What tasks still take from the stores, as the plan serves it. */
async function needsOf(db: Reader, plan: Pick<StoredPlan, 'id' | 'fromAt'>, taskIds: readonly string[]): Promise<Map<string, SheetNeed[]>> {
  const rows = await planNeeds(db, plan, { taskIds })
  const items = new Map((await db.item.findMany({ where: { id: { in: rows.map((r) => r.itemId) } }, select: { id: true, name: true, unit: true, shelf: true } })).map(({ id, ...item }) => [id, item]))
  const needs = new Map<string, SheetNeed[]>()
  for (const { taskId, itemId, milli, short, covered, wantedAt } of rows) {
    const item = items.get(itemId)
    if (item) needs.set(taskId, [...(needs.get(taskId) ?? []), { itemId, ...item, milli, short, covered, cover: coverOf({ at: wantedAt, covered, short }, plan.fromAt) }])
  }
  for (const list of needs.values()) list.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0))
  return needs
}

async function tasksOf(db: Reader, ids: readonly string[], needs: ReadonlyMap<string, SheetNeed[]>): Promise<Map<string, { task: SheetTask; around: number }>> {
  const rows = await db.task.findMany({
    where: { id: { in: ids.filter((id) => !id.startsWith('wash:')) } },
    select: {
      id: true, name: true, note: true, caution: true, kind: true, dusty: true, setUpMin: true, clearUpMin: true,
      product: { select: { name: true, hazard: true, kind: true } },
      tools: { select: { count: true, heldUntil: true, tool: { select: { name: true } } }, orderBy: { tool: { name: 'asc' } } },
      materials: { select: { name: true, unit: true, low: true, likely: true, high: true, itemId: true, product: { select: { system: { select: { productId: true } } } } }, orderBy: [{ name: 'asc' }, { id: 'asc' }] },
      steps: { select: { id: true, text: true, caution: true, tickedAt: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] },
    },
  })
  return new Map(rows.map(({ setUpMin, clearUpMin, tools, steps, materials, ...t }) => [t.id, {
    around: setUpMin + clearUpMin,
    task: {
      ...t,
      // What is in the stores is said once, with its shelf.
      materials: materials.filter((m) => !needs.has(t.id) || (m.itemId === null && !m.product?.system)),
      fromStores: needs.get(t.id) ?? [],
      tools: tools.map((x) => ({ name: x.tool.name, count: x.count, heldUntil: x.heldUntil })),
      steps: steps.map(({ tickedAt, ...s }) => ({ ...s, ticked: tickedAt !== null })),
    },
  }]))
}

