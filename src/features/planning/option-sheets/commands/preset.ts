import type { Tx } from '../../../../platform/database.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import { draftOf, type PresetKey } from '../presets.ts'
import type { SheetOption } from '../model.ts'
import { leversOf } from '../queries/levers.ts'

/** A sheet as a preset fills it from the build's own figures, for the example club. */
export async function presetSheet(tx: Tx, buildId: string, key: PresetKey, { by, at }: { by: string; at: Date }): Promise<string> {
  const draft = draftOf(key, await leversOf(tx, buildId))
  const options = draft.options.map((o): SheetOption => ({ ...o, prices: {} })) as unknown as Prisma.InputJsonValue
  return (await tx.optionSheet.create({ data: { buildId, question: draft.question, options, createdBy: by, createdAt: at }, select: { id: true } })).id
}
