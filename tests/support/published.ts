/**
 * Published scheduling instances (PSPLIB .sm: Kolisch & Sprecher 1996; ProGen/max .sch: Schwindt 1998) as questions to the planner:
 * one build of unattended tasks, resources that go anywhere. The files are no part of this project; they are read from
 * `../shared/benchmarks` beside it when they are there.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Plan } from '../../src/core/schedule/answer.ts'
import type { Link, Problem, TaskSpec } from '../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../src/core/units/index.ts'

export const BENCHMARKS = new URL('../../../shared/benchmarks', import.meta.url).pathname

export const hasBenchmarks = (): boolean => existsSync(BENCHMARKS)

/** Files of one set, for example `psplib/j30`, in order of name. */
export function filesOf(set: string): string[] {
  const dir = join(BENCHMARKS, set)
  return existsSync(dir) ? readdirSync(dir).filter((f) => /\.(sm|sch)$/i.test(f)).sort().map((f) => join(dir, f)) : []
}

export interface Activity { readonly duration: number; readonly needs: readonly number[] }
/** start(to) >= start(from) + lag; a negative lag is a maximum lag the other way. */
export interface Arc { readonly from: number; readonly to: number; readonly lag: number }
export interface Instance { readonly activities: readonly Activity[]; readonly arcs: readonly Arc[]; readonly capacities: readonly number[] }

const numbers = (line: string): number[] => (line.match(/-?\d+/g) ?? []).map(Number)

export function readInstance(file: string): Instance {
  const text = readFileSync(file, 'utf8')
  return /\.sm$/i.test(file) ? readSm(text) : readSch(text)
}

function readSm(text: string): Instance {
  const lines = text.split(/\r?\n/)
  const at = (title: string): number => lines.findIndex((l) => l.startsWith(title))
  const activities: Activity[] = []
  for (let i = at('REQUESTS/DURATIONS') + 3; /^\s*\d/.test(lines[i] ?? ''); i++) {
    const [, , duration, ...needs] = numbers(lines[i]!)
    activities.push({ duration: duration!, needs })
  }
  const arcs: Arc[] = []
  for (let i = at('PRECEDENCE') + 2; /^\s*\d/.test(lines[i] ?? ''); i++) {
    const [job, , , ...after] = numbers(lines[i]!)
    for (const s of after) arcs.push({ from: job! - 1, to: s - 1, lag: activities[job! - 1]!.duration })
  }
  return { activities, arcs, capacities: numbers(lines[at('RESOURCEAVAILABILITIES') + 2]!) }
}

function readSch(text: string): Instance {
  const lines = text.split(/\r?\n/).filter((l) => l.trim() !== '')
  const [n, kinds] = numbers(lines[0]!)
  const arcs: Arc[] = []
  for (let i = 1; i <= n! + 2; i++) {
    const row = numbers(lines[i]!)
    const many = row[2]!
    for (let j = 0; j < many; j++) arcs.push({ from: row[0]!, to: row[3 + j]!, lag: row[3 + many + j]! })
  }
  const activities = lines.slice(n! + 3, 2 * n! + 5).map((l): Activity => {
    const row = numbers(l)
    return { duration: row[2]!, needs: row.slice(3, 3 + kinds!) }
  })
  return { activities, arcs, capacities: numbers(lines[2 * n! + 5]!) }
}

export const taskId = (i: number): string => `a${String(i).padStart(4, '0')}`

/** One build whose launch is the last activity (the sink). */
export function problemOf(x: Instance): Problem {
  const horizon = x.activities.reduce((sum, a, i) => sum + Math.max(a.duration, ...x.arcs.filter((r) => r.from === i).map((r) => r.lag)), 1)
  const tasks = x.activities.map((a, i): TaskSpec => ({
    id: taskId(i), buildId: 'build', release: null, productId: null, materials: [], startedAt: null, finished: null,
    work: { kind: 'unattended', minutes: minutes(a.duration) }, smallest: null, setUp: minutes(0), clearUp: minutes(0),
    places: [], resources: a.needs.flatMap((amount, r) => (amount > 0 ? [{ resourceId: `r${r}`, amount, until: null }] : [])),
    competences: [], gate: null, dusty: false,
  }))
  const links = x.arcs.map((a, i): Link => {
    const id = `l${String(i).padStart(5, '0')}`
    return a.lag >= 0
      ? { id, kind: 'lag', from: taskId(a.from), to: taskId(a.to), edge: 'start', min: minutes(a.lag), max: null }
      : { id, kind: 'lag', from: taskId(a.to), to: taskId(a.from), edge: 'start', min: null, max: minutes(-a.lag) }
  })
  return {
    now: instant(0), horizon: instant(horizon), zone: [{ from: instant(0), offset: 0 }], people: [], places: [], materials: [], products: [],
    resources: x.capacities.map((count, r) => ({ id: `r${r}`, siteId: null, capacity: [{ from: instant(0), count }] })),
    builds: [{ id: 'build', priority: 1, launchTarget: null, paused: false, team: [], launchTaskId: taskId(x.activities.length - 1) }],
    tasks, links, holds: [], fixed: [], previous: [], missedWindowCost: minutes(0),
  }
}

/** Start of each activity, or null when some are not planned. */
export function startsOf(x: Instance, plan: Plan): number[] | null {
  if (plan.unplanned.length > 0) return null
  const at = new Map(plan.pieces.map((p) => [p.taskId, p.start as number]))
  return x.activities.map((_, i) => at.get(taskId(i))!)
}

/** First broken rule of the starts by the instance alone (shares nothing with planner or checker), or null. */
export function faultIn(x: Instance, starts: readonly number[]): string | null {
  if (starts.length !== x.activities.length || starts.some((s) => !Number.isInteger(s) || s < 0)) return 'not a start for each activity'
  for (const a of x.arcs) if (starts[a.to]! < starts[a.from]! + a.lag) return `lag ${a.from} to ${a.to}`
  for (const t of new Set(starts)) {
    for (let r = 0; r < x.capacities.length; r++) {
      let used = 0
      x.activities.forEach((a, i) => { if (starts[i]! <= t && t < starts[i]! + a.duration) used += a.needs[r]! })
      if (used > x.capacities[r]!) return `resource ${r} at ${t}`
    }
  }
  return null
}

/** Best-known makespan by file name without ending, lower case; null: listed as infeasible. */
export function bestKnown(set: string): Map<string, { readonly best: number | null; readonly status: string }> {
  const text = readFileSync(join(BENCHMARKS, `${set}_best_known.csv`), 'utf8')
  const [head, ...rows] = text.trim().split(/\r?\n/).map((l) => l.split(','))
  const column = (name: string): number => head!.indexOf(name)
  const best = Math.max(column('best'), column('optimum_or_best'))
  const name = (file: string): string => file.replace(/\.(sm|sch)$/i, '').toLowerCase()
  return new Map(rows.map((r) => [name(r[0]!), { best: r[best] ? Number(r[best]) : null, status: r[column('status')]! }]))
}
