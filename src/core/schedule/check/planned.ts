/** Fixed pieces kept or dropped, and every task either wholly planned or listed with what follows it. */
import type { Piece } from '../answer.ts'
import { grouped, isHistory, type Context, type Job } from './context.ts'

export function checkFixed(c: Context): void {
  const key = (r: { readonly taskId: string; readonly start: number; readonly why: string | null }): string =>
    JSON.stringify([r.taskId, r.start, r.why])
  const kept = grouped(c.plan.pieces.filter((p) => p.fixed !== null), (p) => key({ ...p, why: p.fixed }))
  const dropped = grouped(c.plan.dropped, key)
  for (const fixed of c.problem.fixed) {
    const people = [...new Set(fixed.people)].sort().join(' ')
    const pieces = kept.get(key(fixed)) ?? []
    const same = pieces.findIndex(
      (p) => p.end === fixed.end && p.people.join(' ') === people && p.supervisor === fixed.supervisor && p.placeId === fixed.placeId
    )
    if (same >= 0) {
      pieces.splice(same, 1)
      continue
    }
    const drop = dropped.get(key(fixed))?.pop()
    if (!drop) {
      c.fault(
        'fixed', null, `The ${fixed.why} piece of ${fixed.taskId} at ${c.when(fixed.start)} is neither kept as it is nor dropped with a reason.`,
      )
    } else if (drop.fault.text.trim() === '') {
      c.fault('fixed', null, `The ${fixed.why} piece of ${fixed.taskId} at ${c.when(fixed.start)} is dropped without a reason.`)
    }
  }
  for (const [, pieces] of kept) for (const p of pieces) c.fault('fixed', p, `${p.id} says it is ${p.fixed}, but nobody fixed it like that.`)
  for (const [, drops] of dropped) {
    for (const d of drops) {
      c.fault('fixed', null, `A ${d.why} piece of ${d.taskId} at ${c.when(d.start)} is told as dropped; there is none, or it is kept.`)
    }
  }
}

export function checkPlanned(c: Context): void {
  const listed = new Set<string>()
  for (const { taskId } of c.plan.unplanned) {
    const job = c.jobs.get(taskId)
    if (listed.has(taskId)) c.fault('unplanned', null, `${taskId} is listed twice as not planned.`)
    listed.add(taskId)
    if (!job) c.fault('unplanned', null, `${taskId} is listed as not planned, but is no task.`)
    else if (job.done || job.paused) c.fault('unplanned', null, `${taskId} is listed as not planned, but is ${job.done ? 'finished' : 'paused'}.`)
    else if (job.pieces.length > 0) c.fault('unplanned', job.pieces[0]!, `${taskId} is listed as not planned, but has pieces.`)
  }
  const missed = new Set(c.plan.missed.map((m) => m.linkId))
  for (const job of c.jobs.values()) {
    const first = job.pieces[0]
    if (first && job.done) c.fault('finished', first, `${job.id} is finished, but ${first.id} is planned.`)
    if (first && job.paused) c.fault('paused', first, `${job.buildId} is paused, but ${first.id} is planned.`)
    if (!first && !job.done && !job.paused && isWanted(c, job, missed) && !listed.has(job.id)) {
      c.fault('left-out', null, `${job.id} is neither planned nor listed as not planned.`)
    }
  }
  checkFollowers(c)
}

function isWanted(c: Context, job: Job, missed: ReadonlySet<string>): boolean {
  const link = job.washOf
  if (!link) return true
  return !c.jobs.get(link.to)!.done && (missed.has(link.id) || link.wash?.state === 'missed')
}

/** What waits for a task that is not planned can't be planned either. */
function checkFollowers(c: Context): void {
  const never = (job: Job): boolean => !job.done && (job.paused || job.pieces.length === 0)
  for (const link of c.problem.links) {
    const first: Piece | undefined = c.jobs.get(link.to)!.pieces[0]
    if (!first || isHistory(c.problem, first) || !never(c.jobs.get(link.from)!)) continue
    c.fault('after-unplanned', first, `${first.id} is planned, but waits by link ${link.id} for ${link.from}, which is not.`)
  }
}
