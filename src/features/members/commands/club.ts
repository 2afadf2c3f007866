import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { clubSettings } from '../queries/club.ts'
import type { ClubInput } from '../schemas.ts'

const STALE = 'Somebody else changed the club’s settings meanwhile. Nothing of yours was saved: compare, and send again what should stay.'

export async function saveClub(tx: Tx, ctx: Ctx, { version, ...input }: ClubInput): Promise<Result<Done, Refusal>> {
  await tx.$queryRaw`select id from club where id = 1 for update`
  const before = await clubSettings(tx)
  if (before.version !== version) return refused(409, STALE, { current: before })
  await tx.club.update({ where: { id: 1 }, data: { ...input, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'changed the club’s settings', entity: 'club', entityId: '1', before, after: input })
  await requestReplan(tx, 'The club’s settings changed', ctx)
  return ok({ location: '/club', flash: 'The club’s settings are saved.' })
}
