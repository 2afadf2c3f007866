/** Links that show a build to guests: made, changed, withdrawn. */
import { ok, type Result } from '../../../core/result.ts'
import type { Db, Tx } from '../../../platform/database.ts'
import { isUuid } from '../../../platform/request.ts'
import { dateColumn, isoDate, localDate } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import type { ChangeLink, NewLink } from './schemas.ts'
import { digest } from './secret.ts'

/** More than a build's friends need; whoever has as many should look which of them are still wanted. */
const MOST = 40

type Said = Result<Done, Refusal>
const pageOf = (buildId: string): string => `/builds/${buildId}/guests`
const GONE = 'This link is not there any more. Open the page again.'
const column = (day: string | null): Date | null => (day === null ? null : dateColumn(day))

/** Why a last day can't be. */
function wrongDay(ctx: Ctx, untilOn: string | null): Said | null {
  if (untilOn === null || untilOn >= localDate(ctx.clubZone, ctx.now)) return null
  return refused(422, 'Nothing was changed: see the note at the field.', { fields: { untilOn: 'Last day: that day is over. Take one to come, or leave it empty' } })
}

/** `secret` goes to whoever makes it; the digest stays. */
export async function makeLink(tx: Tx, ctx: Ctx, buildId: string, { label, untilOn, shows }: NewLink, secret: string): Promise<Said> {
  const wrong = wrongDay(ctx, untilOn)
  if (wrong !== null) return wrong
  // One after another, so that the count and the names hold.
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const open = await tx.guestLink.findMany({ where: { buildId, revokedAt: null }, select: { label: true } })
  if (open.length >= MOST) return refused(422, `She has ${open.length} links already. Withdraw those that nobody needs any more, then make this one.`)
  if (open.some((l) => l.label.toLowerCase() === label.toLowerCase())) {
    return refused(422, 'Nothing was made: see the note at the field.', { fields: { label: `For whom: there is a link for “${label}” already. Withdraw that one, or take another name` } })
  }
  const data = { buildId, label, ...shows, untilOn: column(untilOn), createdBy: ctx.member.id, createdAt: ctx.now }
  const { id } = await tx.guestLink.create({ data: { ...data, digest: digest(secret) }, select: { id: true } })
  await audit(tx, ctx, { what: 'guests’ link made', entity: 'guest_link', entityId: id, buildId, after: data })
  return ok({ location: pageOf(buildId), flash: `The link for ${label} is made.` })
}

/** What it shows from now on, and until when. Whoever has the link keeps it. */
export async function changeLink(tx: Tx, ctx: Ctx, buildId: string, linkId: string, { version, untilOn, shows }: ChangeLink): Promise<Said> {
  const before = isUuid(linkId) ? await tx.guestLink.findFirst({ where: { id: linkId, buildId } }) : null
  if (!before) return refused(404, GONE)
  if (before.revokedAt !== null) return refused(422, `The link for ${before.label} was withdrawn: it shows nothing any more. Make another.`)
  // A last day that has come and gone may stay when only what it shows is changed.
  const wrong = untilOn !== null && before.untilOn !== null && isoDate(before.untilOn) === untilOn ? null : wrongDay(ctx, untilOn)
  if (wrong !== null) return wrong
  const data = { ...shows, untilOn: column(untilOn) }
  const saved = await tx.guestLink.updateMany({ where: { id: linkId, buildId, version, revokedAt: null }, data: { ...data, version: { increment: 1 } } })
  if (saved.count === 0) {
    const { money, names, photos, snags, log } = before
    return refused(409, 'Somebody changed this link while the page was open. Nothing of yours is saved yet.', {
      current: { untilOn: before.untilOn === null ? '' : isoDate(before.untilOn), money, names, photos, snags, log },
    })
  }
  const { money, names, photos, snags, log } = before
  await audit(tx, ctx, { what: 'guests’ link changed', entity: 'guest_link', entityId: linkId, buildId, before: { money, names, photos, snags, log, untilOn: before.untilOn }, after: data })
  return ok({ location: pageOf(buildId), flash: `The link for ${before.label} is changed. Whoever opens it sees that at once.` })
}

/** From now on it opens nothing. It stays in the list with its date, and can't be brought back. */
export async function withdrawLink(tx: Tx, ctx: Ctx, buildId: string, linkId: string): Promise<Said> {
  const row = isUuid(linkId) ? await tx.guestLink.findFirst({ where: { id: linkId, buildId }, select: { label: true } }) : null
  if (!row) return refused(404, GONE)
  const done = await tx.guestLink.updateMany({ where: { id: linkId, revokedAt: null }, data: { revokedAt: ctx.now, revokedBy: ctx.member.id, version: { increment: 1 } } })
  if (done.count === 0) return ok({ location: pageOf(buildId), flash: `The link for ${row.label} was withdrawn already.` })
  await audit(tx, ctx, { what: 'guests’ link withdrawn', entity: 'guest_link', entityId: linkId, buildId })
  return ok({ location: pageOf(buildId), flash: `The link for ${row.label} is withdrawn: it opens nothing any more.` })
}

const HOUR = 3_600_000

/** Written at most once an hour, however often a guest looks. */
export async function noteSeen(db: Db, linkId: string, now: Date): Promise<void> {
  const since = new Date(now.getTime() - HOUR)
  await db.guestLink.updateMany({ where: { id: linkId, OR: [{ lastSeenAt: null }, { lastSeenAt: { lt: since } }] }, data: { lastSeenAt: now } })
}
