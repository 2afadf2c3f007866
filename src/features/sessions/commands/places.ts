import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import type { Units } from '../../../../views/shared/format.ts'
import type { z } from 'zod'
import { placeFields, type ClosureForm, type PlaceInput, type ReadingForm, type SiteForm } from '../schemas/place.ts'
import { localMoment, localParts } from '../times.ts'

type Saved = Promise<Result<Done, Refusal>>
const nameTaken = (what: string, name: string) =>
  refused(422, `There is ${what} “${name}” already. Nothing was changed.`, { fields: { name: `Name: there is ${what} of this name already; choose another` } })

export async function saveSite(tx: Tx, ctx: Ctx, siteId: string | null, input: z.output<typeof SiteForm>): Saved {
  if (await tx.site.findFirst({ where: { name: input.name, ...(siteId && { NOT: { id: siteId } }) }, select: { id: true } })) return nameTaken('a site', input.name)
  const data = { name: input.name, kind: input.kind, memberId: input.kind === 'home' ? input.memberId : null }
  if (data.memberId && !(await tx.member.findFirst({ where: { id: data.memberId, isActive: true } }))) {
    return refused(422, 'That member is not in the club (any more).', { fields: { memberId: 'Whose home: choose the member' } })
  }
  const before = siteId && (await tx.site.findUnique({ where: { id: siteId } }))
  if (siteId && !before) return refused(404, 'There is no such site.')
  const site = siteId ? await tx.site.update({ where: { id: siteId }, data }) : await tx.site.create({ data })
  await audit(tx, ctx, { what: siteId ? 'changed a site' : 'added a site', entity: 'site', entityId: site.id, before: before || undefined, after: site })
  return ok({ location: '/workshop', flash: `${site.name} is saved.` })
}

export async function addPlace(tx: Tx, ctx: Ctx, input: PlaceInput): Saved {
  const problem = await placeProblem(tx, input, null)
  if (problem) return problem
  const place = await tx.place.create({ data: input })
  await audit(tx, ctx, { what: 'added a place', entity: 'place', entityId: place.id, after: place })
  await requestReplan(tx, `${place.name} is a new place`, ctx)
  return ok({ location: `/workshop/places/${place.id}`, flash: `${place.name} is on the list.` })
}

export async function editPlace(tx: Tx, ctx: Ctx, placeId: string, version: number, input: PlaceInput, units: Units): Saved {
  const before = await tx.place.findUnique({ where: { id: placeId } })
  if (!before) return refused(404, 'There is no such place.')
  const problem = await placeProblem(tx, input, placeId)
  if (problem) return problem
  const saved = await tx.place.updateMany({ where: { id: placeId, version }, data: { ...input, version: { increment: 1 } } })
  if (saved.count === 0) return refused(409, `Somebody changed ${before.name} since you opened this page. Nothing of yours was saved yet.`, { current: placeFields(before, units) })
  await audit(tx, ctx, { what: 'changed a place', entity: 'place', entityId: placeId, before, after: input })
  await requestReplan(tx, `${input.name} changed`, ctx)
  return ok({ location: `/workshop/places/${placeId}`, flash: `${input.name} is saved.` })
}

async function placeProblem(tx: Tx, input: PlaceInput, placeId: string | null) {
  if (await tx.place.findFirst({ where: { name: input.name, ...(placeId && { NOT: { id: placeId } }) }, select: { id: true } })) return nameTaken('a place', input.name)
  if (!(await tx.site.findUnique({ where: { id: input.siteId }, select: { id: true } }))) return refused(422, 'That site is gone.', { fields: { siteId: 'Site: choose from the list' } })
  return null
}

export async function addReading(tx: Tx, ctx: Ctx, placeId: string, input: z.output<ReturnType<typeof ReadingForm>>, shown: (celsius: number) => string): Saved {
  const place = await tx.place.findUnique({ where: { id: placeId }, select: { id: true, name: true } })
  if (!place) return refused(404, 'There is no such place.')
  const at = input.at === null ? ctx.now : localMoment(ctx.clubZone, localParts(ctx.clubZone, ctx.now).date, input.at)
  if (at > ctx.now) return refused(422, `${input.at} is still to come today.`, { fields: { at: 'Read at: that time is still to come; leave it empty for now' } })
  const reading = await tx.placeReading.create({ data: { placeId, at, air: input.air, humidity: input.humidity, memberId: ctx.member.id } })
  await audit(tx, ctx, { what: 'read a thermometer', entity: 'place', entityId: placeId, after: reading })
  await requestReplan(tx, `${ctx.member.name} read ${shown(input.air)} in ${place.name}`, ctx)
  return ok({ location: `/workshop/places/${placeId}`, flash: `Noted: ${shown(input.air)}${input.humidity === null ? '' : `, ${Math.round(input.humidity)} % humidity`} in ${place.name}.` })
}

/** A slip of the finger: one's own reading, or any for whoever edits the workshop. */
export async function deleteReading(tx: Tx, ctx: Ctx, placeId: string, readingId: string): Saved {
  const before = await tx.placeReading.findFirst({ where: { id: readingId, placeId }, include: { place: { select: { name: true } } } })
  const location = `/workshop/places/${placeId}`
  if (!before) return ok({ location, flash: 'That reading is gone already.' })
  if (before.memberId !== ctx.member.id && !ctx.may('workshop.edit')) return refused(403, 'Somebody else took this reading; they or an officer can take it out.')
  await tx.placeReading.delete({ where: { id: readingId } })
  await audit(tx, ctx, { what: 'took out a reading', entity: 'place', entityId: placeId, before })
  await requestReplan(tx, `A reading of ${before.place.name} was taken out`, ctx)
  return ok({ location, flash: 'The reading is taken out.' })
}

export async function addClosure(tx: Tx, ctx: Ctx, placeId: string, input: z.output<typeof ClosureForm>): Saved {
  const place = await tx.place.findUnique({ where: { id: placeId }, select: { name: true } })
  if (!place) return refused(404, 'There is no such place.')
  const starts = localMoment(ctx.clubZone, input.fromDate, input.fromTime)
  const ends = localMoment(ctx.clubZone, input.toDate, input.toTime)
  if (ends <= starts) return refused(422, 'The clocks change just then: nothing is left between the two times.', { fields: { toTime: 'To: choose a later time' } })
  const closure = await tx.placeClosure.create({ data: { placeId, starts, ends, why: input.why } })
  await audit(tx, ctx, { what: 'closed a place', entity: 'place', entityId: placeId, after: closure })
  await requestReplan(tx, `${place.name} is shut for a while: ${input.why}`, ctx)
  return ok({ location: `/workshop/places/${placeId}`, flash: `${place.name} is shut then.` })
}

export async function deleteClosure(tx: Tx, ctx: Ctx, placeId: string, closureId: string): Saved {
  const before = await tx.placeClosure.findFirst({ where: { id: closureId, placeId }, include: { place: { select: { name: true } } } })
  const location = `/workshop/places/${placeId}`
  if (!before) return ok({ location, flash: 'That closing is gone already.' })
  await tx.placeClosure.delete({ where: { id: closureId } })
  await audit(tx, ctx, { what: 'opened a place again', entity: 'place', entityId: placeId, before })
  await requestReplan(tx, `${before.place.name} is not shut after all`, ctx)
  return ok({ location, flash: `${before.place.name} is open then.` })
}

