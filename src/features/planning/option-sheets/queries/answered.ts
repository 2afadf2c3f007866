import type { Reader } from '../../../../platform/database.ts'
import { isUuid } from '../../../../platform/request.ts'

/** Whether a form with this once-only key was done already. */
export async function isAnswered(db: Reader, key: string): Promise<boolean> {
  if (!isUuid(key)) return false
  const row = await db.onceKey.findUnique({ where: { key }, select: { location: true } })
  return row?.location != null
}
