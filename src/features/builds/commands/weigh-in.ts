/** What the scales showed, and what she is meant to weigh. */
import * as format from '../../../../views/shared/format.ts'
import type { PageClub } from '../../../../views/shared/page-context.ts'
import { ok, type Result } from '../../../core/result.ts'
import { sumSpreads } from '../../../core/estimate/index.ts'
import type { Spread } from '../../../core/estimate/types.ts'
import type { Tx } from '../../../platform/database.ts'
import { isUuid } from '../../../platform/request.ts'
import { dateColumn, isoDate, localDate } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { mostKg } from '../facts/weight.ts'
import { boatView } from '../queries/boat.ts'
import type { WeighInInput } from '../schemas/weight.ts'
import { tellPages } from './changed.ts'

const wrong = (fields: Record<string, string>) => refused(422, 'Nothing was changed: see the note at the field.', { fields })

/** kg of all of her; nothing where her measurements can't be worked with. */
async function estimated(tx: Tx, buildId: string): Promise<Spread> {
  const view = await boatView(tx, buildId)
  return sumSpreads(view.ok ? view.value.lines.map((l) => l.kg) : [])
}

/** Why no boat like her weighs that much; null when she may. */
function tooMuch(all: Spread, grams: number, club: PageClub | null): string | null {
  if (grams / 1000 <= mostKg(all)) return null
  const typed = format.mass(grams, club)
  return all.high > 0
    ? `${typed} can’t be hers: by the estimate all of her weighs at most ${format.mass(Math.round(all.high * 1000), club)}. Was it grams, or another boat?`
    : `${typed} is more than any boat here weighs. Was it grams?`
}

/** A target below a quarter of the lightest estimate is a slip, not an ambition. */
function tooLittle(all: Spread, grams: number, club: PageClub | null): string | null {
  if (grams / 1000 >= all.low / 4) return null
  return `${format.mass(grams, club)} can’t be reached: by the estimate all of her weighs at least ${format.mass(Math.round(all.low * 1000), club)}. Was it kilograms?`
}

export async function addWeighIn(tx: Tx, ctx: Ctx, buildId: string, input: WeighInInput, club: PageClub | null): Promise<Result<Done, Refusal>> {
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true, startedOn: true } })
  if (input.day > localDate(ctx.clubZone, ctx.now)) return wrong({ day: 'The day: that is still to come' })
  if (input.day < isoDate(build.startedOn)) return wrong({ day: `The day: ${build.name} was not begun before ${isoDate(build.startedOn)}` })
  const most = tooMuch(await estimated(tx, buildId), input.mass, club)
  if (most !== null) return wrong({ mass: most })
  if (input.whole && input.mass < 500) return wrong({ mass: `${format.mass(input.mass, club)} is no boat: was it kilograms, or only a part of her?` })
  const data = { buildId, weighedOn: dateColumn(input.day), massG: input.mass, what: input.what, isWhole: input.whole, note: input.note, loggedBy: ctx.member.id, loggedAt: ctx.now }
  const { id } = await tx.weighIn.create({ data, select: { id: true } })
  await audit(tx, ctx, { what: 'weighed', entity: 'weigh_in', entityId: id, buildId, after: data })
  await tellPages(tx, buildId)
  return ok({ location: `/builds/${buildId}/weight`, flash: `${format.mass(input.mass, club)} is written down.` })
}

/** It stays in the list, struck out. */
export async function withdrawWeighIn(tx: Tx, ctx: Ctx, buildId: string, weighInId: string): Promise<Result<Done, Refusal>> {
  const done = isUuid(weighInId) ? await tx.weighIn.updateMany({ where: { id: weighInId, buildId, withdrawnAt: null }, data: { withdrawnAt: ctx.now } }) : { count: 0 }
  if (done.count === 0) return refused(404, 'This weighing is not there any more, or was withdrawn already.')
  await audit(tx, ctx, { what: 'weighing withdrawn', entity: 'weigh_in', entityId: weighInId, buildId })
  await tellPages(tx, buildId)
  return ok({ location: `/builds/${buildId}/weight`, flash: 'The weighing is withdrawn. It stays in the list, struck out.' })
}

export async function setMassTarget(tx: Tx, ctx: Ctx, buildId: string, input: { version: number; grams: number | null }, club: PageClub | null): Promise<Result<Done, Refusal>> {
  const before = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { massTargetG: true } })
  if (input.grams !== null) {
    const all = await estimated(tx, buildId)
    const fault = tooMuch(all, input.grams, club) ?? tooLittle(all, input.grams, club)
    if (fault !== null) return wrong({ target: fault })
  }
  const saved = await tx.build.updateMany({ where: { id: buildId, version: input.version }, data: { massTargetG: input.grams, version: { increment: 1 } } })
  if (saved.count === 0) {
    const target = before.massTargetG === null ? '' : format.boatMassField(before.massTargetG, club?.units ?? 'metric')
    return refused(409, 'Somebody changed this build while the page was open. Nothing of yours is saved yet.', { current: { target } })
  }
  await audit(tx, ctx, { what: 'mass target', entity: 'build', entityId: buildId, buildId, before, after: { massTargetG: input.grams } })
  await tellPages(tx, buildId)
  return ok({ location: `/builds/${buildId}/weight`, flash: input.grams === null ? 'She has no target any more.' : `Her target is ${format.mass(input.grams, club)}.` })
}
