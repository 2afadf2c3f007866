import type { Reader } from '../../../../platform/database.ts'
import { faultOf, OWN_FAULT } from '../catalogue.ts'
import type { ReworkInput } from '../commands/rework.ts'
import { reworkPlace } from './follow.ts'
import { resinOf } from './product.ts'
import { snagLine, snagSelect } from './snags.ts'

const NAME_MAX = 100

/** What rework of a snag begins with: the usual repair of such a fault, before what must not come over it. */
export async function usualRework(db: Reader, buildId: string, snagId: string): Promise<ReworkInput> {
  const snag = snagLine(await db.snag.findFirstOrThrow({ where: { id: snagId, buildId }, select: snagSelect }))
  const fault = faultOf(snag.kind) ?? OWN_FAULT
  const what = `Mend ${snag.what.charAt(0).toLowerCase()}${snag.what.slice(1)}`
  const name = snag.whereAt === '' ? what : `${what}, ${snag.whereAt.charAt(0).toLowerCase()}${snag.whereAt.slice(1)}`
  const { before } = await reworkPlace(db, buildId, snag)
  return {
    buildId, snagId, name: name.length > NAME_MAX ? what.slice(0, NAME_MAX) : name,
    steps: fault.steps, afterCure: fault.afterCure, minutes: fault.minutes, hands: fault.hands, dusty: fault.dusty,
    productId: fault.resin ? await resinOf(db, buildId, snag.taskId) : null, before,
  }
}
