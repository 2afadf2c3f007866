import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { shownTime } from '../schemas/session.ts'
import type { OwnHoursInput, UsualInput } from '../schemas/times.ts'
import { dateColumn, isoDate } from '../times.ts'
import { WEEKDAYS } from '../words.ts'

type Saved = Promise<Result<Done, Refusal>>
/** Whose times, and the page they are on. */
export type Whose = { memberId: string; back: string }

const stretch = (i: { weekday: number; fromTime: string; toTime: string }) => `${WEEKDAYS[i.weekday - 1]} ${i.fromTime}–${shownTime(i.toTime)}`
const overlaps = (a: { fromTime: string; toTime: string }, b: { fromTime: string; toTime: string }) => a.fromTime < b.toTime && b.fromTime < a.toTime

/** Locks the member, so that two sendings can't both add the same hours. */
async function lockMember(tx: Tx, memberId: string): Promise<{ name: string } | null> {
  const [member] = await tx.$queryRaw<{ name: string }[]>`select name from member where id = ${memberId}::uuid and is_active for update`
  return member ?? null
}

export async function addUsual(tx: Tx, ctx: Ctx, { memberId, back }: Whose, input: UsualInput): Saved {
  const member = await lockMember(tx, memberId)
  const site = await tx.site.findUnique({ where: { id: input.siteId }, select: { kind: true, name: true } })
  if (!member || site?.kind !== 'club') return refused(422, 'That site is gone.', { fields: { siteId: 'Site: choose from the list' } })
  const others = await tx.usualAttendance.findMany({ where: { memberId, siteId: input.siteId, weekday: input.weekday } })
  const clash = others.find((o) => overlaps(o, input))
  if (clash) return refused(422, `${stretch(clash)} is there already.`, { fields: { fromTime: `From: overlaps ${stretch(clash)}; take that out first or choose other times` } })
  await tx.usualAttendance.create({ data: { memberId, ...input } })
  await audit(tx, ctx, { what: 'added usual attendance', entity: 'member', entityId: memberId, after: input })
  await requestReplan(tx, `${member.name} usually comes on ${stretch(input)}`, ctx)
  return ok({ location: back, flash: `Usually there: ${stretch(input)}.` })
}

export async function deleteUsual(tx: Tx, ctx: Ctx, { memberId, back }: Whose, usualId: string): Saved {
  const member = await lockMember(tx, memberId)
  const before = await tx.usualAttendance.findFirst({ where: { id: usualId, memberId } })
  if (!member || !before) return ok({ location: back, flash: 'That is taken out already.' })
  await tx.usualAttendance.delete({ where: { id: usualId } })
  await audit(tx, ctx, { what: 'took out usual attendance', entity: 'member', entityId: memberId, before })
  await requestReplan(tx, `${member.name} no longer usually comes on ${stretch(before)}`, ctx)
  return ok({ location: back, flash: `Taken out: ${stretch(before)}.` })
}

/** Hours at a home where a build is kept; whoever works there may have some, not only who lives there. */
export async function addOwnHours(tx: Tx, ctx: Ctx, { memberId, back }: Whose, input: OwnHoursInput): Saved {
  const member = await lockMember(tx, memberId)
  const site = await tx.site.findUnique({ where: { id: input.siteId }, select: { kind: true, name: true } })
  if (!member || site?.kind !== 'home') return refused(422, 'Own hours are for a home where a build is kept.', { fields: { siteId: 'Site: choose from the list' } })
  const others = await tx.ownHours.findMany({ where: { memberId, weekday: input.weekday } })
  const clash = others.find((o) => overlaps(o, input) && isoDate(o.fromOn) <= (input.untilOn ?? '9999') && input.fromOn <= (o.untilOn ? isoDate(o.untilOn) : '9999'))
  if (clash) return refused(422, `${stretch(clash)} is there already.`, { fields: { fromTime: `From: overlaps ${stretch(clash)}; take that out first or choose other times` } })
  await tx.ownHours.create({ data: { memberId, ...input, fromOn: dateColumn(input.fromOn), untilOn: input.untilOn && dateColumn(input.untilOn) } })
  await audit(tx, ctx, { what: 'added own hours', entity: 'member', entityId: memberId, after: input })
  await requestReplan(tx, `${member.name} has own hours at ${site.name} on ${stretch(input)}`, ctx)
  return ok({ location: back, flash: `Own hours at ${site.name}: ${stretch(input)}.` })
}

export async function deleteOwnHours(tx: Tx, ctx: Ctx, { memberId, back }: Whose, ownId: string): Saved {
  const member = await lockMember(tx, memberId)
  const before = await tx.ownHours.findFirst({ where: { id: ownId, memberId } })
  if (!member || !before) return ok({ location: back, flash: 'That is taken out already.' })
  await tx.ownHours.delete({ where: { id: ownId } })
  await audit(tx, ctx, { what: 'took out own hours', entity: 'member', entityId: memberId, before })
  await requestReplan(tx, `${member.name} no longer has own hours on ${stretch(before)}`, ctx)
  return ok({ location: back, flash: `Taken out: ${stretch(before)}.` })
}

/** A member's home as a site: an officer then adds the place in it, or the member asks for it. */
export async function addHome(tx: Tx, ctx: Ctx, { memberId, back }: Whose, input: { name: string }): Saved {
  const member = await lockMember(tx, memberId)
  if (!member) return refused(404, 'There is no such member.')
  if (await tx.site.findUnique({ where: { name: input.name }, select: { id: true } })) {
    return refused(422, `There is a site “${input.name}” already.`, { fields: { name: 'Name: there is a site of this name already; choose another' } })
  }
  const site = await tx.site.create({ data: { name: input.name, kind: 'home', memberId } })
  await audit(tx, ctx, { what: 'added a home', entity: 'site', entityId: site.id, after: site })
  return ok({ location: back, flash: `${site.name} is on the list of sites; now your hours there.` })
}
