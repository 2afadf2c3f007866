import { addDays, instantToLocal } from '../../../../core/calendar/index.ts'
import type { Reader } from '../../../../platform/database.ts'
import { sessionLetter } from '../../../../../views/planning/words/reminders.ts'
import type { NameBook, StoredPiece, StoredPlan } from '../../model.ts'
import { nameBook } from '../../queries/names.ts'
import { comers, isInSession, sessionsAhead, siteOfPlaces, zoneAround, type SessionCard } from '../../queries/sessions.ts'
import { localAt } from '../../times.ts'
import { cautionsOf } from '../cautions.ts'
import type { Asker, Due, SessionFacts } from '../model.ts'
import { buildsSeen, maySee, type Around, type Seen } from './windows.ts'

/** Local time of the day before at which people are reminded of a session. */
export const EVE = '18:00'
/** Sessions this far ahead are looked at. */
const AHEAD = 8
const AHEAD_DAYS = 3

type Task = Awaited<ReturnType<typeof tasksOf>> extends Map<string, infer T> ? T : never
type Shed = { readonly plan: StoredPlan | null; readonly names: NameBook; readonly seen: ReadonlyMap<string, Seen>; readonly tasks: ReadonlyMap<string, Task>; readonly siteOf: ReadonlyMap<string, string> }

/** The coming sessions, for those who said that they come and those who usually do. */
export async function sessionsDue(db: Reader, plan: StoredPlan | null, askers: readonly Asker[], around: Around): Promise<Due[]> {
  const wishing = askers.filter((a) => a.sessions)
  if (wishing.length === 0) return []
  const now = new Date(around.at * 60_000)
  const zone = await zoneAround(db, now)
  const sessions = (await sessionsAhead(db, zone, now, AHEAD)).filter((s) => s.start > around.at && s.start < around.at + AHEAD_DAYS * 1440)
  if (sessions.length === 0) return []
  const [there, said, notes, seen, siteOf] = await Promise.all([
    comers(db, now, sessions), saidComing(db, sessions), notesOf(db, sessions), buildsSeen(db), siteOfPlaces(db),
  ])
  const builds = [...new Set((plan?.pieces ?? []).filter((p) => sessions.some((s) => isInSession(s, siteOf)(p))).map((p) => p.buildId))].filter((id) => seen.has(id))
  const shed: Shed = { plan, names: await nameBook(db, builds), seen, siteOf, tasks: await tasksOf(db, plan, sessions) }
  return sessions.flatMap((s) => {
    const { date } = instantToLocal(zone, s.start)
    const at = localAt(zone, addDays(date, -1), EVE)
    return wishing.flatMap((asker): Due[] => {
      const own = (there.get(s.id) ?? []).filter((c) => c.memberId === asker.memberId)
      const hasSaid = said.has(`${s.id} ${asker.memberId}`)
      if (own.length === 0 && !hasSaid) return []
      const presence = own.length === 0 ? null : { from: Math.min(...own.map((c) => c.start)), to: Math.max(...own.map((c) => c.end)) }
      const facts = factsOf(shed, s, asker, presence, hasSaid, notes.get(s.id) ?? '', around.publicUrl)
      return [{ memberId: asker.memberId, kind: 'session', about: `session:${s.id}:${date}`, at, until: presence?.from ?? s.start, write: (sendAt) => sessionLetter(facts, around.times(sendAt)) }]
    })
  })
}

function factsOf(shed: Shed, s: SessionCard, asker: Asker, there: SessionFacts['there'], hasSaid: boolean, note: string, publicUrl: string): SessionFacts {
  const { names, seen, tasks } = shed
  const mine = (shed.plan?.pieces ?? [])
    .filter((p) => !p.projected && (p.people.includes(asker.memberId) || p.supervisor === asker.memberId))
    .filter(isInSession(s, shed.siteOf)).filter((p) => maySee(asker, seen.get(p.buildId)))
  const own = mine.flatMap((p) => tasks.get(taskOf(names, p)) ?? [])
  const { texts, hasResin, hasDust } = cautionsOf(own)
  return {
    title: s.title, site: s.siteName, start: s.start, end: s.end, there, hasSaid, note,
    keyholder: s.keyholderId === null ? null : (names.people.get(s.keyholderId) ?? null), isKeyholder: s.keyholderId === asker.memberId,
    pieces: mine.map((p) => ({
      start: p.start, end: p.end, build: names.builds.get(p.buildId) ?? '', place: (p.placeId && names.places.get(p.placeId)) || null,
      task: p.taskId.startsWith('wash:') ? `wash and sand before ${names.tasks.get(taskOf(names, p))?.name ?? 'the next coat'}` : (names.tasks.get(p.taskId)?.name ?? ''),
      others: [...p.people, ...(p.supervisor ? [p.supervisor] : [])].filter((id, i, all) => id !== asker.memberId && all.indexOf(id) === i).flatMap((id) => names.people.get(id) ?? []).sort(),
    })),
    tools: [...new Set(own.flatMap((t) => t.tools.map((x) => x.tool.name)))].sort(),
    hasResin, hasDust: hasDust || mine.some((p) => p.taskId.startsWith('wash:')), cautions: texts, isMinor: asker.isMinor, address: `${publicUrl}/sessions/${s.id}`,
  }
}

const taskOf = (names: NameBook, p: StoredPiece): string => (p.taskId.startsWith('wash:') ? (names.links.get(p.taskId.slice(5))?.to ?? '') : p.taskId)

/** "session member" of those who said that they come, also where nobody opens yet. */
async function saidComing(db: Reader, sessions: readonly SessionCard[]): Promise<Set<string>> {
  const rows = await db.attendance.findMany({ where: { sessionId: { in: sessions.map((s) => s.id) }, answer: 'coming' }, select: { sessionId: true, memberId: true } })
  return new Set(rows.map((r) => `${r.sessionId} ${r.memberId}`))
}

async function notesOf(db: Reader, sessions: readonly SessionCard[]): Promise<Map<string, string>> {
  const rows = await db.session.findMany({ where: { id: { in: sessions.map((s) => s.id) } }, select: { id: true, note: true } })
  return new Map(rows.map((r) => [r.id, r.note]))
}

async function tasksOf(db: Reader, plan: StoredPlan | null, sessions: readonly SessionCard[]) {
  const from = Math.min(...sessions.map((s) => s.start))
  const until = Math.max(...sessions.map((s) => s.end))
  const ids = (plan?.pieces ?? []).filter((p) => p.start < until && p.end > from && !p.taskId.startsWith('wash:')).map((p) => p.taskId)
  const rows = await db.task.findMany({
    where: { id: { in: [...new Set(ids)] } },
    select: { id: true, caution: true, dusty: true, product: { select: { hazard: true } }, tools: { select: { tool: { select: { name: true } } } } },
  })
  return new Map(rows.map((t) => [t.id, t]))
}
