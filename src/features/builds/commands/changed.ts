import type { Tx } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../../platform/events.ts'
import { requestReplan } from '../../../platform/replan.ts'
import type { Ctx } from '../../../platform/write.ts'

/** Pages of the build that are open elsewhere offer to look again. */
export const tellPages = (tx: Tx, buildId: string) => notify(tx, LIVE_CHANNEL, `build:${buildId}`)

/** Something that the plan must take into account, with its cause in words. */
export async function changed(tx: Tx, ctx: Ctx, buildId: string, cause: string): Promise<void> {
  await requestReplan(tx, cause, ctx)
  await tellPages(tx, buildId)
}
