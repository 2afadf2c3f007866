import { ok, type Result } from '../../../core/result.ts'
import type { Presence } from '../../../core/schedule/problem.ts'
import { localToInstant } from '../../../core/calendar/index.ts'
import { instant, MINUTES_PER_DAY } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import { isUuid } from '../../../platform/request.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { loadPeople, type PersonRow } from '../../members/public.ts'
import { loadPresence } from '../../sessions/public.ts'
import { placesOf } from '../facts/core-shape.ts'
import { toDate, toInstant } from '../../../platform/times.ts'
import { nothingLogged, workLeft } from '../facts/work-left.ts'
import { clubWords, hours, type ClubWords } from '../facts/words.ts'
import { loggedByTask, taskRows, type TaskRow } from '../queries/rows.ts'
import { taskStates, type TaskState } from '../queries/task-states.ts'
import { changed } from './changed.ts'
import { activeMembers, lockTask } from './found.ts'
import { taskUrl } from './task.ts'

export type PinInput = { day: string; from: string; until: string; place: string | null; people: string[]; supervisor: string | null }
type Field = keyof PinInput
const bad = (field: Field, message: string): { ok: false; refusal: Refusal } => refused(422, 'This piece was not pinned: see the note at the field.', { fields: { [field]: message } })

/** Fixes one piece of a task, if it could be done so at all; the plan goes round it. */
export async function pinPiece(tx: Tx, ctx: Ctx, buildId: string, taskId: string, input: PinInput): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, buildId, taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.finishedAt !== null) return refused(422, `“${task.name}” is finished: nothing is left to pin.`)
  if (task.build.state !== 'active') return refused(422, `${task.build.name} is ${task.build.state}: let her go on before pinning work on her.`)
  const now = toInstant(ctx.now)
  const zone = offsetTable(ctx.clubZone, instant(now - 7 * MINUTES_PER_DAY), instant(now + 800 * MINUTES_PER_DAY))
  const start = localToInstant(zone, { date: input.day, time: input.from })
  const typedEnd = localToInstant(zone, { date: input.day, time: input.until })
  if (typedEnd <= start) return bad('until', 'Ends before it begins')
  if (start < now) return bad('from', 'Has begun already: log the hours instead')
  if (start > now + 730 * MINUTES_PER_DAY) return bad('day', 'More than two years ahead')

  const row = (await taskRows(tx, [buildId])).find((r) => r.id === taskId)!
  const people = await activeMembers(tx, input.people)
  if (!people.ok) return bad('people', people.refusal.message)
  const n = people.value.length
  const hands = checkHands(row, n)
  if (hands) return bad('people', hands)
  const left = workLeft(row, (await loggedByTask(tx, [buildId])).get(taskId) ?? nothingLogged)
  const length = checkLength(row, n, left, typedEnd - start)
  if (!length.ok) return bad('until', length.message)
  const end = start + length.minutes

  const words = clubWords(await tx.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true, locale: true } }), now)
  const film = checkCure(row, (await taskStates(tx, [buildId], ctx.now)).get(taskId)!, start, end, words)
  if (film) return bad('from', film)
  const anywhere = (await tx.place.findMany({ where: { isActive: true }, select: { id: true } })).map((p) => p.id)
  const allowed = placesOf(row, { placeOf: new Map([[buildId, task.build.placeId]]), anywhere })
  const placeId = input.place ?? allowed[0] ?? null
  if (placeId !== null && row.kind !== 'unattended' && !allowed.includes(placeId)) return bad('place', 'This task is not done there: choose one of its places')
  const who = await checkPeople(tx, row, { start, end, now, placeId, people: people.value, supervisor: input.supervisor }, words)
  if (who) return bad(...who)

  const data = { taskId, startsAt: toDate(start), endsAt: toDate(end), placeId, people: people.value.map((p) => p.id), supervisorId: input.supervisor, pinnedBy: ctx.member.id, pinnedAt: ctx.now }
  const pin = await tx.pin.create({ data })
  await audit(tx, ctx, { what: 'pinned', entity: 'pin', entityId: pin.id, buildId, after: data })
  await changed(tx, ctx, buildId, `“${task.name}” pinned to ${words.at(start)} (${task.build.name})`)
  const cut = end < typedEnd ? ` She needs only ${hours(length.minutes)} for it, so it ends ${words.at(end)}.` : ''
  return ok({ location: `${taskUrl(buildId, taskId)}#pins`, flash: `“${task.name}” is pinned to ${words.at(start)}.${cut}` })
}

export async function unpin(tx: Tx, ctx: Ctx, buildId: string, taskId: string, pinId: string): Promise<Result<Done, Refusal>> {
  const pin = isUuid(pinId) ? await tx.pin.findFirst({ where: { id: pinId, taskId, task: { buildId } }, include: { task: { select: { name: true } } } }) : null
  if (!pin) return refused(404, 'This pin is not there any more.')
  await tx.pin.delete({ where: { id: pin.id } })
  await audit(tx, ctx, { what: 'unpinned', entity: 'pin', entityId: pin.id, buildId, before: pin })
  await changed(tx, ctx, buildId, `“${pin.task.name}” is free to move again`)
  return ok({ location: `${taskUrl(buildId, taskId)}#pins`, flash: `“${pin.task.name}” is free to move again.` })
}

function checkHands(row: TaskRow, n: number): string | null {
  if (row.kind === 'unattended') return n === 0 ? null : 'This happens by itself: nobody is needed'
  if (n < row.handsFrom) return `Needs at least ${row.handsFrom} ${row.handsFrom === 1 ? 'pair of hands' : 'people'}, ${n} ${n === 1 ? 'is' : 'are'} chosen`
  if (row.kind === 'shared' && n > row.handsTo) return `At most ${row.handsTo} can work on it at once`
  return null
}

/** How long the piece really is: never longer than what is left takes; a task in one go is done in it. */
function checkLength(row: TaskRow, n: number, left: number, typed: number): { ok: true; minutes: number } | { ok: false; message: string } {
  if (row.kind === 'unattended') return typed >= left ? { ok: true, minutes: left } : { ok: false, message: `Takes ${hours(left)}` }
  const around = row.setUpMin + row.clearUpMin
  const whole = around + (row.kind === 'shared' ? Math.ceil(left / n) : left)
  if (typed >= whole) return { ok: true, minutes: whole }
  if (row.smallestMin === null || row.productId !== null) return { ok: false, message: `Goes on in one go and takes ${hours(whole)} with ${n}: leave that much time, or bring more hands` }
  if (typed - around < row.smallestMin) return { ok: false, message: `The smallest piece is ${hours(row.smallestMin)}, with set-up and clear-up ${hours(row.smallestMin + around)}` }
  return { ok: true, minutes: typed }
}

function checkCure(row: TaskRow, state: TaskState, start: number, end: number, words: ClubWords): string | null {
  const begins = start + row.setUpMin
  for (const w of state.waits) {
    if (w.kind === 'cure' && w.until !== null && w.until > start) return `Too early: the film below is not there before ${words.at(w.until)}`
    if (w.kind === 'opens' && w.until !== null && w.until > begins) return `Too early: the window opens ${words.at(w.until)}`
    if (w.kind === 'lag' && w.until > start) return `Too early: it waits until ${words.at(w.until)}`
    if (w.kind === 'release' && w.until > start) return `Not before ${words.at(w.until)}`
  }
  const closes = state.window?.closes ?? null
  const washed = state.waits.some((w) => w.kind === 'wash')
  if (closes !== null && !washed && end - row.clearUpMin > closes) return `Too late: the window shuts ${words.at(closes)}, and the coat must be on by then. Begin earlier, or say that the window is missed`
  return null
}

type Piece = { start: number; end: number; now: number; placeId: string | null; people: { id: string; name: string }[]; supervisor: string | null }

async function checkPeople(tx: Tx, row: TaskRow, piece: Piece, words: ClubWords): Promise<[Field, string] | null> {
  if (row.kind === 'unattended') return null
  const rows = new Map((await loadPeople(tx)).map((p) => [p.id, p]))
  const young = [...piece.people.map((p) => p.id), piece.supervisor ?? ''].find((id) => rows.get(id)?.isMinor)
  if (young) return ['people', `${rows.get(young)!.name} is under age, and nobody under age is planned: pin the grown-ups, who decide in the shed what they do together`]
  const team = new Set((await tx.buildMember.findMany({ where: { buildId: row.buildId }, select: { memberId: true } })).map((m) => m.memberId))
  const stranger = piece.people.find((p) => !team.has(p.id) && !rows.get(p.id)?.helpsAnyone)
  if (stranger) return ['people', `${stranger.name} is not in her team and does not help on any build: add ${stranger.name} to the team first`]
  const site = piece.placeId === null ? null : await tx.place.findUnique({ where: { id: piece.placeId }, select: { siteId: true, name: true } })
  const presence = await loadPresence(tx, { now: instant(piece.now), from: instant(piece.now), until: instant(piece.end + MINUTES_PER_DAY) })
  const everyone = [...piece.people, ...(piece.supervisor && !piece.people.some((p) => p.id === piece.supervisor) ? [{ id: piece.supervisor, name: rows.get(piece.supervisor)?.name ?? 'The supervisor' }] : [])]
  for (const p of everyone) {
    const here = (presence.get(p.id) ?? []).filter((r) => site === null || r.siteId === site.siteId)
    if (here.some((r) => r.start <= piece.start && r.end >= piece.end)) continue
    return ['people', absent(p.name, here, piece, site?.name ?? 'there', words)]
  }
  const others = await tx.pin.findMany({
    where: { startsAt: { lt: toDate(piece.end) }, endsAt: { gt: toDate(piece.start) }, people: { hasSome: piece.people.map((p) => p.id) }, task: { finishedAt: null } },
    include: { task: { select: { name: true } } },
  })
  const clash = others[0]
  if (clash) {
    const both = piece.people.filter((p) => clash.people.includes(p.id)).map((p) => p.name)
    return ['people', `${both.join(' and ')} ${both.length === 1 ? 'is' : 'are'} pinned to “${clash.task.name}” at that time: unpin that first`]
  }
  return checkCompetence(tx, row, piece, rows)
}

function absent(name: string, here: readonly Presence[], piece: Piece, place: string, words: ClubWords): string {
  const near = here.filter((r) => r.start < piece.start + MINUTES_PER_DAY && r.end > piece.start - MINUTES_PER_DAY)
  if (near.length === 0) return `${name} is not expected in ${place} that day: let ${name} answer for that session first`
  return `${name} is expected ${near.map((r) => `${words.at(r.start)} to ${words.at(r.end)}`).join(' and ')}, not for the whole piece`
}

async function checkCompetence(tx: Tx, row: TaskRow, piece: Piece, rows: ReadonlyMap<string, PersonRow>): Promise<[Field, string] | null> {
  const asked = [...new Set([...row.competences.map((c) => c.competenceId), ...row.tools.flatMap((t) => t.tool.competenceId ?? [])])]
  for (const competenceId of asked) {
    const level = (id: string) => rows.get(id)?.competences.find((c) => c.competenceId === competenceId && (c.until === null || c.until >= piece.end))?.level
    if (piece.people.some((p) => level(p.id) === 'full')) continue
    const { name } = await tx.competence.findUniqueOrThrow({ where: { id: competenceId }, select: { name: true } })
    if (!piece.people.some((p) => level(p.id) === 'supervised')) return ['people', `Nobody of these is checked for “${name}”`]
    if (piece.supervisor === null) return ['supervisor', `“${name}” is held under supervision only: name who supervises`]
    if (level(piece.supervisor) !== 'full') return ['supervisor', `${rows.get(piece.supervisor)?.name ?? 'The supervisor'} is not fully checked for “${name}”`]
  }
  return null
}
