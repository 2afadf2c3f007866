import type { Reader } from '../../../../platform/database.ts'
import { isUuid } from '../../../../platform/request.ts'
import { windowLetter } from '../../../../../views/planning/words/reminders.ts'
import type { TimeWords } from '../../../../../views/shared/times.ts'
import { taskStates } from '../../../builds/public.ts'
import type { StoredPlan } from '../../model.ts'
import { nameBook } from '../../queries/names.ts'
import { windowViews } from '../../queries/shown.ts'
import { finishedOf } from '../../queries/states.ts'
import { DAY } from '../../times.ts'
import { cautionsOf } from '../cautions.ts'
import type { Asker, Due, WindowFacts } from '../model.ts'

export type Around = { readonly at: number; readonly publicUrl: string; readonly times: (now: number) => TimeWords }

/** The windows of films that are on now, for those who are planned on the coat that meets them. */
export async function windowsDue(db: Reader, plan: StoredPlan, askers: readonly Asker[], around: Around): Promise<Due[]> {
  const wishing = new Map(askers.filter((a) => a.windows).map((a) => [a.memberId, a]))
  // Most minutes nobody who wishes it is planned on a coat of a window: then no more is read than that.
  const mine = new Set(plan.pieces.filter((p) => !p.projected && hands(p).some((id) => wishing.has(id))).map((p) => p.taskId))
  const links = mine.size === 0 ? [] : await db.link.findMany({ where: { id: { in: plan.met.map((m) => m.linkId) }, toId: { in: [...mine].filter(isUuid) } }, select: { buildId: true } })
  if (links.length === 0) return []
  const seen = await buildsSeen(db)
  const ids = [...new Set(links.map((l) => l.buildId))].filter((id) => seen.has(id))
  const names = await nameBook(db, ids)
  const states = await taskStates(db, ids, new Date(around.at * 60_000))
  const views = windowViews(plan, names, finishedOf(states)).filter((v) => v.isFact && v.piece && !v.piece.projected && (v.closes === null || v.closes > around.at))
  const tasks = new Map((await db.task.findMany({
    where: { id: { in: views.map((v) => v.to) } }, select: { id: true, caution: true, dusty: true, product: { select: { hazard: true } } },
  })).map((t) => [t.id, t]))
  return views.flatMap((v) => {
    const { piece, opens, closes } = v
    const film = states.get(v.from)?.film
    const task = tasks.get(v.to)
    if (!piece || !film || !task) return []
    const { texts } = cautionsOf([task])
    const facts: WindowFacts = {
      build: names.builds.get(v.buildId) ?? '', to: names.tasks.get(v.to)?.name ?? '', from: names.tasks.get(v.from)?.name ?? '',
      place: (piece.placeId && names.places.get(piece.placeId)) || null, opens, closes, start: piece.start, end: piece.end, cautions: texts,
      address: `${around.publicUrl}/builds/${v.buildId}/tasks/${v.to}`,
    }
    return hands(piece).flatMap((id): Due[] => {
      const asker = wishing.get(id)
      if (!asker || !maySee(asker, seen.get(v.buildId))) return []
      return [{
        // A film that is put on anew opens a window of its own.
        memberId: id, kind: 'window', about: `window:${v.linkId}:${film.coatId}:${film.end}`, at: opens, until: closes ?? Math.max(opens + DAY, piece.end),
        write: (sendAt) => windowLetter(facts, around.times(sendAt)),
      }]
    })
  })
}

const hands = (p: { people: readonly string[]; supervisor: string | null }): string[] => [...new Set([...p.people, ...(p.supervisor ? [p.supervisor] : [])])]

export type Seen = { readonly isTeamOnly: boolean; readonly team: ReadonlySet<string> }

export async function buildsSeen(db: Reader): Promise<Map<string, Seen>> {
  const rows = await db.build.findMany({ where: { state: 'active' }, select: { id: true, visibility: true, team: { select: { memberId: true } } }, orderBy: { id: 'asc' } })
  return new Map(rows.map((b) => [b.id, { isTeamOnly: b.visibility === 'team', team: new Set(b.team.map((t) => t.memberId)) }]))
}

export const maySee = (asker: Asker, build: Seen | undefined): boolean => build !== undefined && (!build.isTeamOnly || asker.seesAll || build.team.has(asker.memberId))
