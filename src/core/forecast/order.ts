/** The plan's order of work of one build: its pieces by start, each after what its links wait for. */
import type { Piece } from '../schedule/answer.ts'
import type { MLink, Model } from '../schedule/model.ts'

/** One piece of the plan as the simulation repeats it. */
export interface Step {
  readonly job: number
  readonly piece: Piece
  /** Minutes from now. */
  readonly start: number
  readonly end: number
  /** The task's last piece: takes all that is left. */
  readonly isLast: boolean
  /** What it did in the plan, in the unit of the task's work. */
  readonly target: number
}

export function stepsOf(model: Model, pieces: readonly Piece[], jobs: ReadonlyMap<string, number>, origin: number): Step[] {
  const rows: Step[] = []
  const sorted = pieces.filter((p) => jobs.has(p.taskId)).map((piece) => ({ piece, job: jobs.get(piece.taskId)! }))
    .sort((a, b) => a.piece.start - b.piece.start || a.piece.end - b.piece.end || a.job - b.job)
  const last = new Map(sorted.map(({ job }, i) => [job, i]))
  sorted.forEach(({ piece, job }, i) => {
    const j = model.jobs[job]!
    const worked = piece.end - piece.start - j.setUp - j.clearUp
    rows.push({
      job, piece, start: piece.start - origin, end: piece.end - origin, isLast: last.get(job) === i,
      target: j.kind === 'shared' ? worked * piece.people.length : worked,
    })
  })
  return inOrder(model, rows)
}

/** By start, but nothing before what it waits for: negative lags let a task start before the end of the one before it. */
function inOrder(model: Model, rows: readonly Step[]): Step[] {
  const ofJob = new Map<number, number[]>()
  rows.forEach((r, i) => ofJob.set(r.job, [...(ofJob.get(r.job) ?? []), i]))
  const out: Step[] = []
  const state = new Uint8Array(rows.length)
  const visit = (i: number): void => {
    if (state[i] !== 0) return
    state[i] = 1
    const { job } = rows[i]!
    const own = ofJob.get(job)!
    const n = own.indexOf(i)
    if (n > 0) visit(own[n - 1]!)
    else {
      const j = model.jobs[job]!
      const wait = (from: number, all: boolean): void => {
        const list = ofJob.get(from) ?? []
        for (const k of all ? list : list.slice(0, 1)) visit(k)
      }
      if (j.washOf >= 0) wait(model.links[j.washOf]!.from, true)
      for (const l of j.into) {
        const link: MLink = model.links[l]!
        wait(link.from, !(link.kind === 'lag' && link.edge === 'start'))
        if (link.kind === 'window' && link.wash >= 0) wait(link.wash, true)
      }
    }
    out.push(rows[i]!)
  }
  for (let i = 0; i < rows.length; i++) visit(i)
  return out
}
