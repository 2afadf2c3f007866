import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Ctx, Done, Refusal } from '../../../platform/write.ts'
import type { Grade } from '../job-lists/types.ts'
import { changeBoat, changedWords } from './change-boat.ts'

/** All plain measurements of a build as a form has them: one that is not there goes back to a guess. */
export async function saveMeasurements(tx: Tx, ctx: Ctx, buildId: string, input: { version: number; grade: Grade; measured: Record<string, number> }): Promise<Result<Done, Refusal>> {
  const { measurements } = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { measurements: true } })
  const dropped = Object.fromEntries(Object.keys(measurements as Record<string, number>).map((key) => [key, null]))
  const done = await changeBoat(tx, ctx, buildId, { measured: { ...dropped, ...input.measured }, grade: input.grade }, { version: input.version, why: 'measured anew' })
  return done.ok ? ok({ location: `/builds/${buildId}`, flash: `Measurements are saved. ${changedWords(done.value)}` }) : done
}
