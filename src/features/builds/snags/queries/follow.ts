import type { Reader } from '../../../../platform/database.ts'
import type { SnagBad } from '../../../../platform/generated/enums.ts'

export type ReworkTask = { id: string; name: string; phaseId: string; phase: string; position: number; isOpen: boolean; isBegun: boolean; productId: string | null }

/** Where rework of a snag goes, and what must wait for it. */
export type ReworkPlace = {
  phaseId: string | null
  /** Her tasks in order. */
  tasks: ReworkTask[]
  /** Ids of open tasks that begin after the rework. */
  before: string[]
  launchTaskId: string | null
}

/**
 * How bad a snag is says what waits for its rework: what comes next over the place (what waits for the task it was found at, or what of that was
 * begun already, what comes after that), the launch, or all open work of that phase. What only shows holds nothing up.
 */
export async function reworkPlace(db: Reader, buildId: string, { bad, taskId }: { bad: SnagBad; taskId: string | null }): Promise<ReworkPlace> {
  const build = await db.build.findUniqueOrThrow({ where: { id: buildId }, select: { launchTaskId: true } })
  const rows = await db.task.findMany({
    where: { buildId },
    select: { id: true, name: true, phaseId: true, position: true, startedAt: true, finishedAt: true, productId: true, phase: { select: { name: true, position: true } } },
    orderBy: [{ phase: { position: 'asc' } }, { position: 'asc' }, { id: 'asc' }],
  })
  const tasks = rows.map(({ phase, startedAt, finishedAt, ...t }) => ({ ...t, phase: phase.name, isOpen: finishedAt === null, isBegun: startedAt !== null }))
  const links = await db.link.findMany({ where: { buildId }, select: { fromId: true, toId: true } })
  const at = tasks.find((t) => t.id === taskId)
  const phaseId = at?.phaseId ?? tasks.findLast((t) => t.isOpen && t.isBegun)?.phaseId ?? tasks.find((t) => t.isOpen)?.phaseId ?? tasks.at(-1)?.phaseId ?? null
  const launch = tasks.find((t) => t.id === build.launchTaskId && t.isOpen)
  const follow = followers(tasks, links)
  const earlier = at ? ancestors(links, at.id) : new Set<string>()
  const inPhase = tasks.filter((t) => t.phaseId === phaseId && t.isOpen && t.id !== taskId && !earlier.has(t.id))
  const before = {
    looks: [],
    before_next: at ? follow(at.id) : inPhase.slice(0, 1).map((t) => t.id),
    before_launch: launch ? [launch.id] : [],
    stop: inPhase.length > 0 ? inPhase.map((t) => t.id) : at ? follow(at.id) : [],
  }[bad]
  return { phaseId, tasks, before, launchTaskId: build.launchTaskId }
}

type Links = readonly { fromId: string; toId: string }[]

/** The nearest tasks after one that nobody has begun; through those that are begun or done. */
function followers(tasks: readonly ReworkTask[], links: Links): (id: string) => string[] {
  const byId = new Map(tasks.map((t) => [t.id, t]))
  return (id) => {
    const seen = new Set([id])
    const out: string[] = []
    for (const queue = [id]; queue.length > 0;) {
      const here = queue.shift()!
      for (const { toId } of links.filter((l) => l.fromId === here && !seen.has(l.toId))) {
        seen.add(toId)
        const task = byId.get(toId)
        if (task?.isOpen && !task.isBegun) out.push(toId)
        else queue.push(toId)
      }
    }
    return tasks.filter((t) => out.includes(t.id)).map((t) => t.id)
  }
}

/** What a task waits for, and what that waits for. */
export function ancestors(links: Links, id: string): Set<string> {
  const seen = new Set<string>()
  for (const queue = [id]; queue.length > 0;) {
    const here = queue.shift()!
    for (const { fromId } of links.filter((l) => l.toId === here && !seen.has(l.fromId))) {
      seen.add(fromId)
      queue.push(fromId)
    }
  }
  return seen
}
