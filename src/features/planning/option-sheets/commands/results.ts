import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../../platform/write.ts'
import type { Results, SheetOption } from '../model.ts'

export const WORKED_MEANWHILE = 'Somebody changed this option sheet, or worked it out, meanwhile. Here it is as it is now.'

export type Worked = { readonly options: readonly SheetOption[]; readonly results: Results }

/** Keeps what was worked out, unless the sheet is another one by now: whole or not at all. */
export async function keepResults(tx: Tx, ctx: Ctx, where: { buildId: string; sheetId: string; version: number }, { options, results }: Worked): Promise<Result<Done, Refusal>> {
  const { count } = await tx.optionSheet.updateMany({
    where: { id: where.sheetId, buildId: where.buildId, version: where.version },
    data: {
      options: options as unknown as Prisma.InputJsonValue, results: results as unknown as Prisma.InputJsonValue,
      workedAt: ctx.now, planId: results.planId === null ? null : BigInt(results.planId), version: { increment: 1 },
    },
  })
  if (count === 0) return refused(409, WORKED_MEANWHILE)
  return ok({ location: `/builds/${where.buildId}/options/${where.sheetId}`, flash: 'Worked out. Nothing of hers was changed by it.' })
}
