import { cureTable, stageTimes, type StageTimes } from '../../../core/cure/index.ts'
import type { CureStage } from '../../../core/cure/types.ts'
import { localToInstant, type OffsetTable } from '../../../core/calendar/index.ts'
import { instant, MINUTES_PER_DAY } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { loadCureProducts } from '../../stores/public.ts'
import { overridesOf } from '../facts/core-shape.ts'
import { isoDate, localDate, toInstant } from '../../../platform/times.ts'
import { STATE_WORDS, why, type StateFacts } from '../facts/state-words.ts'
import { stateOf, type StateLink, type StateTask } from '../facts/task-state.ts'
import { nothingLogged, shortestApplication, washLeft, workLeft } from '../facts/work-left.ts'
import { clubWords } from '../facts/words.ts'
import { climates } from './climate.ts'
import { linkRows, loggedByTask, taskRows, type LinkRow, type TaskRow } from './rows.ts'

/** A coat as it went on, with its stages as computed and as people found them. Minutes since 1970-01-01T00:00Z. */
export type Film = { coatId: string; placeId: string; productId: string; start: number; end: number; computed: StageTimes; times: StageTimes; found: readonly CureStage[] }

export type TaskState = StateFacts & {
  taskId: string
  buildId: string
  /** 'ready', 'under way', … */
  word: string
  /** The reason, as a sentence. */
  why: string
  film: Film | null
}

/** Beyond this a film is reckoned at the last known temperature. */
const AHEAD_DAYS = 30
/** Older films are left out where nothing waits for them. */
const FRESH_DAYS = 28

export async function taskStates(db: Reader, buildIds: readonly string[], now: Date): Promise<Map<string, TaskState>> {
  const at = toInstant(now)
  const [club, builds, rows, links, logged, tools] = [
    await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true, locale: true } }),
    await db.build.findMany({ where: { id: { in: [...buildIds] } }, select: { id: true, state: true, pauseNote: true } }),
    await taskRows(db, buildIds),
    await linkRows(db, buildIds),
    await loggedByTask(db, buildIds),
    await db.tool.findMany({ select: { id: true, name: true, count: true, arrivesOn: true, isActive: true } }),
  ]
  const films = await filmsOf(db, rows.filter((row) => isWanted(row, links, rows, at)), at)
  const words = clubWords(club, at)
  const today = localDate(club.zone, now)
  // Releases lie in the next years, if anywhere.
  const zone = offsetTable(club.zone, instant(at - 400 * MINUTES_PER_DAY), instant(at + 800 * MINUTES_PER_DAY))
  const missing = new Map(
    tools.filter((t) => !t.isActive || t.count === 0 || (t.arrivesOn !== null && isoDate(t.arrivesOn) > today))
      .map((t) => [t.id, t.isActive && t.arrivesOn !== null ? words.day(isoDate(t.arrivesOn)) : null]))
  const tasks = new Map(rows.map((row) => [row.id, stateTask(row, logged.has(row.id), films.get(row.id)?.times ?? null, missing, zone)]))
  const into = new Map<string, StateLink[]>()
  for (const link of links) into.set(link.toId, [...(into.get(link.toId) ?? []), stateLink(link)])
  const build = new Map(builds.map((b) => [b.id, b]))
  const name = { task: new Map(rows.map((r) => [r.id, r.name])), tool: new Map(tools.map((t) => [t.id, t.name])) }
  const names = { task: (id: string) => name.task.get(id) ?? 'a task', tool: (id: string) => name.tool.get(id) ?? 'a tool' }

  return new Map(rows.map((row) => {
    const of = build.get(row.buildId)!
    const task = tasks.get(row.id)!
    const film = films.get(row.id) ?? null
    const sums = logged.get(row.id) ?? nothingLogged
    const facts: StateFacts = {
      ...stateOf(task, into.get(row.id) ?? [], tasks, of.state === 'paused', at),
      finishedAt: task.finishedAt,
      pauseNote: of.pauseNote,
      loggedMin: row.kind === 'shared' ? sums.personMin : sums.elapsedMin,
      leftMin: workLeft(row, sums),
      filmNext: film === null ? null : nextStage(film.times, at),
    }
    return [row.id, { ...facts, taskId: row.id, buildId: row.buildId, word: STATE_WORDS[facts.state], why: why(facts, names, words.at), film }]
  }))
}

/** A film still matters while it may cure, or while something unfinished waits for it. */
function isWanted(row: TaskRow, links: readonly LinkRow[], rows: readonly TaskRow[], now: number): boolean {
  if (row.coat === null) return false
  if (toInstant(row.coat.endedAt) > now - FRESH_DAYS * MINUTES_PER_DAY) return true
  return links.some((l) => l.fromId === row.id && (l.kind === 'stage' || l.kind === 'window') && rows.some((r) => r.id === l.toId && r.finishedAt === null))
}

function nextStage(times: StageTimes, now: number): StateFacts['filmNext'] {
  const coming = (['dustFree', 'handleable', 'sandable', 'fullCure'] as const)
    .flatMap((stage) => (times[stage] !== null && times[stage] > now ? [{ stage, at: times[stage] as number }] : []))
    .sort((a, b) => a.at - b.at)
  return coming[0] ?? null
}

/** The film of every coat that is on, by task. */
export async function filmsOf(db: Reader, rows: readonly TaskRow[], now: number): Promise<Map<string, Film>> {
  const coats = rows.flatMap((row) => (row.coat === null ? [] : [{ taskId: row.id, ...row.coat }]))
  if (coats.length === 0) return new Map()
  const products = new Map((await loadCureProducts(db)).map((p) => [p.id, p]))
  const from = instant(Math.min(...coats.map((c) => toInstant(c.startedAt))))
  const until = instant(Math.max(now, ...coats.map((c) => toInstant(c.endedAt))) + AHEAD_DAYS * MINUTES_PER_DAY)
  const climate = await climates(db, instant(now), from, until)
  return new Map(coats.flatMap((coat) => {
    const product = products.get(coat.productId)
    const steps = climate.get(coat.placeId)
    if (!product || !steps) return []
    const [start, end] = [toInstant(coat.startedAt), toInstant(coat.endedAt)]
    const table = cureTable(product, steps, start, until)
    const overrides = overridesOf(coat.overrides)
    const film: Film = {
      coatId: coat.id, placeId: coat.placeId, productId: coat.productId, start, end,
      computed: stageTimes(table, start, end), times: stageTimes(table, start, end, overrides), found: overrides.map((o) => o.stage),
    }
    return [[coat.taskId, film] as const]
  }))
}

function stateTask(row: TaskRow, hasLogs: boolean, film: StageTimes | null, missing: ReadonlyMap<string, string | null>, zone: OffsetTable): StateTask {
  return {
    id: row.id,
    applicationMin: shortestApplication(row),
    setUpMin: row.setUpMin,
    startedAt: row.startedAt === null ? null : toInstant(row.startedAt),
    finishedAt: row.finishedAt === null ? null : toInstant(row.finishedAt),
    hasLogs,
    release: row.releaseOn === null ? null : localToInstant(zone, { date: isoDate(row.releaseOn), time: '00:00' }),
    missingTools: row.tools.flatMap((t) => (missing.has(t.toolId) ? [{ toolId: t.toolId, arrivesOn: missing.get(t.toolId)! }] : [])),
    film,
  }
}

function stateLink(link: LinkRow): StateLink {
  const base = { id: link.id, from: link.fromId, washLeftMin: washLeft(link), missedAt: link.missedAt === null ? null : toInstant(link.missedAt), washDone: link.washDoneAt !== null }
  switch (link.kind) {
    case 'finish':
      return { ...base, kind: 'finish', lag: link.lagMin }
    case 'lag':
      return { ...base, kind: 'lag', edge: link.edge === 'start' ? 'start' : 'finish', min: link.minLagMin, max: link.maxLagMin }
    case 'stage':
      return { ...base, kind: 'stage', stage: link.stage ?? 'fullCure' }
    case 'window':
      return { ...base, kind: 'window', hasWash: link.washMin !== null }
  }
}
