import type { Reader } from '../../../platform/database.ts'
import { isoDate, toInstant } from '../../../platform/times.ts'
import { taskStates, type TaskState } from './task-states.ts'
import { visibleTo } from './visible.ts'

export type BuildCard = {
  id: string
  name: string
  design: string
  state: 'active' | 'paused' | 'launched'
  isTeamOnly: boolean
  place: string
  team: string[]
  launchTarget: string | null
  startedOn: string
  pauseNote: string
  tasks: number
  done: number
  loggedMin: number
  leftMin: number
  /** Newest forecast of a build under construction: instants of even chance and of four in five. */
  range: { p50: number | null; p80: number | null } | null
  /** Up to three tasks that can go on, those under way first. */
  next: { id: string; name: string; state: TaskState['state']; word: string; why: string }[]
}

const instantOf = (at: Date | null): number | null => (at === null ? null : toInstant(at))

/** The club's builds as somebody may see them: under construction, then paused, then launched. */
export async function buildsPage(db: Reader, member: { id: string; roles: readonly string[] }, now: Date): Promise<BuildCard[]> {
  const rows = await db.build.findMany({
    where: visibleTo(member),
    select: {
      id: true, name: true, design: true, state: true, visibility: true, launchTarget: true, startedOn: true, pauseNote: true,
      place: { select: { name: true } },
      team: { select: { member: { select: { name: true } } }, orderBy: { member: { name: 'asc' } } },
      tasks: { select: { id: true, name: true, finishedAt: true, kind: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] },
    },
    orderBy: [{ state: 'asc' }, { name: 'asc' }, { id: 'asc' }],
  })
  const states = await taskStates(db, rows.filter((b) => b.state !== 'launched').map((b) => b.id), now)
  const ranges = await rangesOf(db, rows.filter((b) => b.state === 'active').map((b) => b.id))
  return rows.map((b) => {
    const known = b.tasks.flatMap((t) => (states.has(t.id) ? [{ ...t, s: states.get(t.id)! }] : []))
    const next = [...known.filter((t) => t.s.state === 'under-way'), ...known.filter((t) => t.s.state === 'ready' || t.s.state === 'wash')]
    return {
      id: b.id, name: b.name, design: b.design, state: b.state, isTeamOnly: b.visibility === 'team', place: b.place.name,
      team: b.team.map((m) => m.member.name), launchTarget: b.launchTarget === null ? null : isoDate(b.launchTarget), startedOn: isoDate(b.startedOn), pauseNote: b.pauseNote,
      tasks: b.tasks.length, done: b.tasks.filter((t) => t.finishedAt !== null).length,
      loggedMin: known.reduce((sum, t) => sum + t.s.loggedMin, 0), leftMin: known.reduce((sum, t) => sum + t.s.leftMin, 0),
      range: ranges.get(b.id) ?? null,
      next: next.slice(0, 3).map((t) => ({ id: t.id, name: t.name, state: t.s.state, word: t.s.word, why: t.s.why })),
    }
  })
}

/** What the newest forecasts say; planning makes them. */
async function rangesOf(db: Reader, buildIds: readonly string[]): Promise<Map<string, NonNullable<BuildCard['range']>>> {
  const rows = await db.$queryRaw<{ buildId: string; p50: Date | null; p80: Date | null }[]>`
    select distinct on (build_id) build_id as "buildId", p50_at as p50, p80_at as p80
    from forecast where build_id = any(${[...buildIds]}::uuid[]) order by build_id, made_at desc, plan_id desc`
  return new Map(rows.map((r) => [r.buildId, { p50: instantOf(r.p50), p80: instantOf(r.p80) }]))
}
