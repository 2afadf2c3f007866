/** Who works: present, on the team, in one piece at a time, competent or supervised. */
import type { Piece } from '../answer.ts'
import type { Person, Presence } from '../problem.ts'
import { grouped, type Context, type Job } from './context.ts'

interface Busy { readonly piece: Piece; readonly hand: boolean }

export function checkPeople(c: Context): void {
  const people = new Map(c.problem.people.map((p) => [p.id, p]))
  const presence = new Map(c.problem.people.map((p) => [p.id, grouped([...p.presence].sort((a, b) => a.start - b.start), (r) => r.siteId)]))
  const busy = new Map<string, Busy[]>()
  const note = (id: string, piece: Piece, hand: boolean): void => {
    const list = busy.get(id)
    if (list) list.push({ piece, hand })
    else busy.set(id, [{ piece, hand }])
  }
  for (const job of c.jobs.values()) {
    for (const piece of job.pieces) {
      for (const id of piece.people) note(id, piece, true)
      if (piece.supervisor !== null && !piece.people.includes(piece.supervisor)) note(piece.supervisor, piece, false)
      checkPresence(c, piece, presence)
      if (piece.fixed === null) checkTeam(c, piece, job, people)
      if (job.doing.work.kind !== 'unattended') checkCompetence(c, piece, job, people)
    }
  }
  for (const [id, list] of busy) checkBusy(c, id, list)
}

type RowsBySite = ReadonlyMap<string, ReadonlyMap<string, readonly Presence[]>>

function checkPresence(c: Context, piece: Piece, presence: RowsBySite): void {
  const site = c.siteOf(piece)
  // What began before now began with who was there.
  const from = Math.max(piece.start, c.problem.now)
  if (from >= piece.end) return
  let projected = 0
  let certain = 0
  for (const id of piece.people) {
    const rows = (site === null ? undefined : presence.get(id)?.get(site)) ?? []
    // One row must cover it all: pieces are within a presence, not across two.
    const covering = rows.filter((r) => r.start <= from && r.end >= piece.end)
    if (covering.length === 0) {
      c.fault('presence', piece, `${id} is not at ${site ?? 'the place'} for the whole of ${piece.id} (${c.when(from)} to ${c.when(piece.end)}).`)
    } else if (covering.every((r) => r.projected)) projected++
    else if (covering.every((r) => !r.projected)) certain++
  }
  if (projected === piece.people.length && projected > 0 && !piece.projected) {
    c.fault('projected', piece, `${piece.id} lies in assumed presence only, but doesn't say so.`)
  }
  if (certain === piece.people.length && certain > 0 && piece.projected) {
    c.fault('projected', piece, `${piece.id} says its presence is assumed, but people said they come.`)
  }
  if (piece.supervisor !== null) {
    const rows = (site === null ? undefined : presence.get(piece.supervisor)?.get(site)) ?? []
    let covered = from
    for (const r of rows) if (r.start <= covered && r.end > covered) covered = r.end
    if (covered < piece.end) c.fault('supervisor', piece, `${piece.supervisor} supervises ${piece.id}, but is not there throughout.`)
  }
}

function checkTeam(c: Context, piece: Piece, job: Job, people: ReadonlyMap<string, Person>): void {
  const team = c.builds.get(job.buildId)?.team ?? []
  for (const id of piece.people) {
    if (!team.includes(id) && people.get(id)?.helpsAnyone !== true) {
      c.fault('team', piece, `${id} is planned on ${piece.id}, but is not of the team of ${job.buildId} and doesn't help anyone.`)
    }
  }
}

function checkCompetence(c: Context, piece: Piece, job: Job, people: ReadonlyMap<string, Person>): void {
  const has = (id: string, competence: string, level: 'full' | 'supervised'): boolean =>
    people.get(id)?.competences.some((h) => h.competenceId === competence && h.level === level && (h.until === null || h.until >= piece.end)) ?? false
  for (const competence of job.doing.competences) {
    if (piece.people.some((id) => has(id, competence, 'full'))) continue
    if (!piece.people.some((id) => has(id, competence, 'supervised'))) {
      c.fault('competence', piece, `Nobody of ${piece.id} holds the competence ${competence}.`)
    } else if (piece.supervisor === null) c.fault('supervisor', piece, `${piece.id} needs somebody to supervise ${competence}, and names nobody.`)
    else if (!has(piece.supervisor, competence, 'full')) {
      c.fault('supervisor', piece, `${piece.supervisor} supervises ${piece.id}, but is not competent in ${competence}.`)
    }
  }
}

/** Nobody has hands in two pieces at once; who supervises is in no piece of another place then. */
function checkBusy(c: Context, id: string, list: Busy[]): void {
  list.sort((a, b) => a.piece.start - b.piece.start || a.piece.end - b.piece.end)
  let active: Busy[] = []
  for (const next of list) {
    const from = Math.max(next.piece.start, c.problem.now)
    if (next.piece.end <= from) continue
    active = active.filter((a) => a.piece.end > from)
    for (const other of active) {
      if (next.hand && other.hand) c.fault('double-booked', next.piece, `${id} is in ${other.piece.id} and in ${next.piece.id} at ${c.when(from)}.`)
      else if (next.piece.placeId !== other.piece.placeId) {
        c.fault('supervisor', next.piece, `${id} is wanted for ${other.piece.id} and for ${next.piece.id} at ${c.when(from)}, in two places.`)
      }
    }
    active.push(next)
  }
}
