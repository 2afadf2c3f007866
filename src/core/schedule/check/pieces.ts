/** Pieces well formed, and the work of each task done by them exactly. */
import type { Piece } from '../answer.ts'
import { isHistory, worked, type Context, type Job } from './context.ts'

export function checkPieces(c: Context): void {
  const people = new Set(c.problem.people.map((p) => p.id))
  for (const piece of c.plan.pieces) wellFormed(c, piece, people)
  for (const job of c.jobs.values()) {
    if (job.pieces.length === 0) continue
    job.pieces.forEach((piece, i) => {
      const id = `${job.id}/${i + 1}`
      if (piece.id !== id) c.fault('id', piece, `Piece ${i + 1} of ${job.id} is called ${piece.id} instead of ${id}.`)
      const before = job.pieces[i - 1]
      if (before && piece.start < before.end) c.fault('order', piece, `${piece.id} starts at ${c.when(piece.start)}, before ${before.id} has ended.`)
      times(c, piece, job)
      hands(c, piece, job)
    })
    workDone(c, job)
  }
}

function wellFormed(c: Context, piece: Piece, people: ReadonlySet<string>): void {
  const job = c.jobs.get(piece.taskId)
  if (!job) return c.fault('task', piece, `${piece.id} is a piece of ${piece.taskId}, which is no task.`)
  if (piece.buildId !== job.buildId) c.fault('build', piece, `${piece.id} is booked on build ${piece.buildId}; its task belongs to ${job.buildId}.`)
  if (!Number.isSafeInteger(piece.start) || !Number.isSafeInteger(piece.end) || piece.end < piece.start) {
    c.fault('times', piece, `${piece.id} runs from ${piece.start} to ${piece.end}, which is no stretch of whole minutes.`)
  }
  for (const id of piece.supervisor === null ? piece.people : [...piece.people, piece.supervisor]) {
    if (!people.has(id)) c.fault('people', piece, `${piece.id} names ${id}, who is nobody of the club.`)
  }
  if (piece.people.some((id, i) => i > 0 && id <= piece.people[i - 1]!)) {
    c.fault('people', piece, `The people of ${piece.id} are not sorted, or somebody is named twice.`)
  }
  if (piece.placeId !== null && !c.places.has(piece.placeId)) c.fault('place', piece, `${piece.id} is in ${piece.placeId}, which is no place.`)
  for (const [name, value] of [['float', piece.float], ['free float', piece.freeFloat]] as const) {
    if (!(value >= 0)) c.fault('float', piece, `The ${name} of ${piece.id} is ${value} minutes; it can't be below 0.`)
  }
}

function times(c: Context, piece: Piece, job: Job): void {
  const { now, horizon } = c.problem
  if (piece.end > horizon) c.fault('horizon', piece, `${piece.id} ends at ${c.when(piece.end)}, after the planned time ends.`)
  if (piece.fixed === null && piece.start < now) c.fault('now', piece, `${piece.id} starts at ${c.when(piece.start)}, which is past.`)
  const release = job.task?.release ?? null
  if (release !== null && piece.start < release && !isHistory(c.problem, piece)) {
    c.fault('release', piece, `${piece.id} starts at ${c.when(piece.start)}; ${job.id} may not start before ${c.when(release)}.`)
  }
}

function hands(c: Context, piece: Piece, job: Job): void {
  const { work } = job.doing
  const n = piece.people.length
  const fixed = piece.fixed !== null
  if (work.kind === 'unattended') {
    if (n > 0 || piece.supervisor !== null) c.fault('hands', piece, `${piece.id} needs nobody, but has people booked.`)
    return
  }
  const [least, most] = work.kind === 'shared' ? [work.handsFrom, work.handsTo] : [work.hands, work.hands]
  // A piece that a person fixed may have more hands than asked, never fewer.
  if (n < least || (n > most && !fixed)) {
    c.fault('hands', piece, `${piece.id} has ${n} people; ${job.id} is done by ${least === most ? least : `${least} to ${most}`}.`)
  }
  if (worked(piece, job.doing) < 1) c.fault('times', piece, `${piece.id} leaves no minute to work between set-up and clear-up.`)
}

function workDone(c: Context, job: Job): void {
  const { work, smallest } = job.doing
  const { pieces } = job
  const last = pieces.at(-1)!
  if (work.kind === 'unattended') {
    if (pieces.length !== 1) c.fault('work', last, `${job.id} runs in one stretch, but has ${pieces.length} pieces.`)
    if (last.end - last.start !== work.minutes) {
      c.fault('work', last, `${last.id} takes ${last.end - last.start} minutes; ${job.id} takes ${work.minutes}.`)
    }
    return
  }
  if (smallest === null && pieces.length !== 1) c.fault('divided', last, `${job.id} can't be divided, but has ${pieces.length} pieces.`)
  const shared = work.kind === 'shared'
  let left: number = shared ? work.work : work.minutes
  for (const piece of pieces) {
    const n = shared ? piece.people.length : 1
    const w = worked(piece, job.doing)
    if (left <= 0) {
      if (piece.fixed === null) c.fault('work', piece, `${piece.id} comes after all work of ${job.id} is done.`)
      continue
    }
    const needed = Math.ceil(left / Math.max(1, n))
    left -= n * w
    // A fixed piece is kept as a person made it, even longer than needed or shorter than the smallest.
    if (left <= 0 && w > needed && piece.fixed === null) c.fault('work', piece, `${piece.id} works ${w} minutes; ${needed} would finish ${job.id}.`)
    if (left > 0 && smallest !== null && w < smallest && piece.fixed === null) {
      c.fault('smallest', piece, `${piece.id} works ${w} minutes; a piece of ${job.id} is at least ${smallest} unless it is the last.`)
    }
  }
  if (left > 0) c.fault('work', last, `The pieces of ${job.id} leave ${left} ${shared ? 'person-minutes' : 'minutes'} undone.`)
}
