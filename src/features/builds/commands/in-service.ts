/** The day a launched boat was put into service: some rules on amateur-built boats count years from it. */
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { dateColumn, isoDate, localDate } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { tellPages } from './changed.ts'

/** @param day 'YYYY-MM-DD'; null takes it back. */
export async function setInService(tx: Tx, ctx: Ctx, buildId: string, { version, day }: { version: number; day: string | null }): Promise<Result<{ text: string }, Refusal>> {
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true, state: true, startedOn: true, inServiceOn: true, launchTaskId: true } })
  const before = build.inServiceOn && isoDate(build.inServiceOn)
  const wrong = (message: string) => refused(422, 'Nothing was changed: see the note at the field.', { fields: { day: `The day: ${message}` } })
  if (day !== null) {
    if (build.state !== 'launched' && build.launchTaskId !== null) return wrong(`${build.name} is not launched by her tasks. Mark her launch finished first`)
    if (day > localDate(ctx.clubZone, ctx.now)) return wrong('that is still to come. Set it when it has been')
    if (day < isoDate(build.startedOn)) return wrong(`${build.name} was not begun before ${isoDate(build.startedOn)}`)
  }
  const saved = await tx.build.updateMany({ where: { id: buildId, version }, data: { inServiceOn: day === null ? null : dateColumn(day), version: { increment: 1 } } })
  if (saved.count === 0) return refused(409, 'Somebody changed this build while the page was open. Nothing of yours is saved yet.', { current: { day: before ?? '' } })
  await audit(tx, ctx, { what: 'put into service', entity: 'build', entityId: buildId, buildId, before: { inServiceOn: before }, after: { inServiceOn: day } })
  await tellPages(tx, buildId)
  return ok({ text: day === null ? 'The day she was put into service is taken back.' : `${build.name} was put into service on ${day}.` })
}
