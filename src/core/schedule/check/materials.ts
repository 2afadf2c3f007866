/** Material: each need told and served as the specification says, no task before its own is here, and never more used than has come. */
import type { Instant } from '../../units/index.ts'
import type { NeedOutcome } from '../answer.ts'
import type { Material } from '../problem.ts'
import { grouped, type Context, type Job } from './context.ts'

/** So much of one pool, from an instant on. */
interface Part { readonly at: number; readonly amount: number }
interface Served { readonly need: NeedOutcome; readonly job: Job; /** in order of arrival */ readonly any: Part[]; readonly sound: Part[]; readonly short: number }

export function checkMaterials(c: Context): void {
  if (!areTold(c)) return
  const order = inOrder(c)
  for (const material of c.problem.materials) {
    const served = serveAgain(material, order.flatMap((job) => c.plan.needs.filter((n) => n.taskId === job.id && n.materialId === material.id)
      .sort((a, b) => Number(b.structural) - Number(a.structural)).map((need) => ({ need, job }))))
    for (const s of served) checkServed(c, material, s)
    checkStock(c, material, served)
  }
}

/** Every need of the problem once, with its amount, and no other. */
function areTold(c: Context): boolean {
  const before = c.faults.length
  const name = (n: { readonly materialId: string; readonly structural: boolean }): string => `${n.structural ? 'structural ' : ''}${n.materialId}`
  const told = grouped(c.plan.needs, (n) => n.taskId)
  for (const id of told.keys()) if (!c.jobs.get(id)?.task) c.fault('needs', null, `${id} is said to need material; it is no task.`)
  for (const job of c.jobs.values()) {
    const asked = new Map<string, number>()
    if (!job.done && !job.paused) for (const n of job.task?.materials ?? []) asked.set(name(n), (asked.get(name(n)) ?? 0) + n.amount)
    const rows = told.get(job.id) ?? []
    for (const row of rows) {
      const amount = asked.get(name(row)) ?? 0
      asked.delete(name(row))
      if (row.amount !== amount || amount === 0) c.fault('needs', null, `${job.id} is said to need ${row.amount} of ${name(row)}; it needs ${amount}.`)
      if (row.wanted !== rows[0]!.wanted) c.fault('needs', null, `The needs of ${job.id} are wanted at different times.`)
    }
    for (const [what, amount] of asked) if (amount > 0) c.fault('needs', null, `${job.id} needs ${amount} of ${what}, of which nothing is told.`)
  }
  return c.faults.length === before
}

/** Tasks with needs, in order of being served. */
function inOrder(c: Context): Job[] {
  const fixed = new Set(c.problem.fixed.map((f) => f.taskId))
  const keys = [...grouped(c.plan.needs, (n) => n.taskId)].map(([id, [need]]) => ({
    job: c.jobs.get(id)!, first: fixed.has(id) ? 0 : 1, priority: fixed.has(id) ? 0 : -c.builds.get(c.jobs.get(id)!.buildId)!.priority,
    wanted: need!.wanted ?? Infinity,
  }))
  const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
  return keys.sort((a, b) => {
    if (a.first !== b.first) return a.first - b.first
    if (a.priority !== b.priority) return a.priority - b.priority
    if (a.wanted !== b.wanted) return a.wanted < b.wanted ? -1 : 1
    return text(a.job.buildId, b.job.buildId) || text(a.job.id, b.job.id)
  }).map((k) => k.job)
}

/** Each pool is used up from its front, so a need has a stretch of all that ever comes into it. */
function serveAgain(material: Material, needs: readonly { readonly need: NeedOutcome; readonly job: Job }[]): Served[] {
  const pool = (fit: 'structure' | 'any'): { supplies: Part[]; total: number; used: number } => {
    const supplies = material.supplies.filter((s) => s.fit === fit).sort((a, b) => a.at - b.at)
    return { supplies, total: supplies.reduce((sum, s) => sum + s.amount, 0), used: 0 }
  }
  const [any, sound] = [pool('any'), pool('structure')]
  const draw = (p: typeof any, most: number): Part[] => {
    const [from, to] = [p.used, Math.min(p.total, p.used + most)]
    p.used = to
    let end = 0
    return p.supplies.flatMap((s) => {
      const start = end
      end += s.amount
      const amount = Math.min(end, to) - Math.max(start, from)
      return amount > 0 ? [{ at: s.at, amount }] : []
    })
  }
  const sum = (parts: readonly Part[]): number => parts.reduce((n, p) => n + p.amount, 0)
  return needs.map(({ need, job }) => {
    const first = need.structural ? [] : draw(any, need.amount)
    const rest = draw(sound, need.amount - sum(first))
    return { need, job, any: first, sound: rest, short: need.amount - sum(first) - sum(rest) }
  })
}

function checkServed(c: Context, material: Material, { need, job, any, sound, short }: Served): void {
  const ordered = c.problem.now + material.leadTime
  const covered = Math.max(...[...any, ...sound].map((p) => p.at), ...(short > 0 ? [ordered] : []))
  const arrives = (t: number | null): string => (t === null ? 'nothing ordered' : c.when(t))
  if (need.short !== short) c.fault('served', null, `${need.short} of the ${material.id} of ${job.id} is said to be short; it is ${short}.`)
  if (need.covered !== covered) {
    c.fault('served', null, `The ${material.id} of ${job.id} is said to be there from ${c.when(need.covered)}; it is from ${c.when(covered)}.`)
  }
  if (need.shortArrives !== (short > 0 ? ordered : null)) {
    c.fault('served', null, `What is short of ${material.id} for ${job.id} is told for ${arrives(need.shortArrives)}; ordered now it comes ${c.when(ordered)}.`)
  }
  const first = job.pieces[0]
  if (first && !isKept(job) && first.start < covered) {
    c.fault('material', first, `${first.id} starts at ${c.when(first.start)}; its ${material.id} is there only from ${c.when(covered)}.`)
  }
}

const isKept = (job: Job): boolean => job.pieces.some((p) => p.fixed !== null)

/** What begun tasks have used, against what has come: sound material for structural work, all of it for all. */
function checkStock(c: Context, material: Material, served: readonly Served[]): void {
  const changes: { readonly at: number; readonly sound: number; readonly all: number; readonly job: Job | null }[] = []
  for (const s of material.supplies) changes.push({ at: s.at, sound: s.fit === 'structure' ? s.amount : 0, all: s.amount, job: null })
  const ordered = c.plan.needs.reduce((sum, n) => sum + (n.materialId === material.id ? n.short : 0), 0)
  changes.push({ at: c.problem.now + material.leadTime, sound: ordered, all: ordered, job: null })
  for (const { need, job, any, sound, short } of served) {
    const first = job.pieces[0]
    if (!first) continue
    const use = (at: number, amount: number): void => { changes.push({ at, sound: need.structural ? -amount : 0, all: -amount, job }) }
    // A person said that it starts: it takes what there is of its own, and the rest as it comes.
    if (!isKept(job)) use(first.start, need.amount)
    else {
      for (const part of [...any, ...sound]) use(Math.max(first.start, part.at), part.amount)
      use(Math.max(first.start, c.problem.now + material.leadTime), short)
    }
  }
  // What comes at an instant can be used at it.
  changes.sort((a, b) => a.at - b.at || Number(a.job !== null) - Number(b.job !== null))
  let sound = 0
  let all = 0
  for (const change of changes) {
    sound += change.sound
    all += change.all
    if (sound >= 0 && all >= 0) continue
    const piece = change.job?.pieces[0] ?? null
    c.fault('stock', piece, `${material.id} runs out at ${c.when(change.at as Instant)}, when ${change.job?.id ?? 'something'} starts: ${Math.max(-sound, -all)} too little has come by then.`)
    return
  }
}
