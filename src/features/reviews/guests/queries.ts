import type { Reader } from '../../../platform/database.ts'
import { isoDate, localDate } from '../../../platform/times.ts'
import type { Shows } from '../model.ts'
import type { AskedLink, LinkLine } from './model.ts'
import { digest, isSecret } from './secret.ts'

const showsOf = ({ money, names, photos, snags, log }: Shows): Shows => ({ money, names, photos, snags, log })

/** The links of a build, those that open something first, then by when they were made. */
export async function linksOf(db: Reader, buildId: string, today: string): Promise<LinkLine[]> {
  const rows = await db.guestLink.findMany({ where: { buildId }, orderBy: [{ createdAt: 'desc' }, { id: 'asc' }] })
  const people = await db.member.findMany({ where: { id: { in: rows.flatMap((r) => [r.createdBy, r.revokedBy ?? r.createdBy]) } }, select: { id: true, name: true } })
  const nameOf = (id: string): string => people.find((p) => p.id === id)?.name ?? 'a former member'
  const lines = rows.map((r): LinkLine => {
    const untilOn = r.untilOn === null ? null : isoDate(r.untilOn)
    return {
      id: r.id, label: r.label, shows: showsOf(r), untilOn, state: r.revokedAt !== null ? 'withdrawn' : untilOn !== null && untilOn < today ? 'over' : 'open',
      madeAt: r.createdAt, madeBy: nameOf(r.createdBy), withdrawnAt: r.revokedAt, withdrawnBy: r.revokedBy === null ? null : nameOf(r.revokedBy), lastSeenAt: r.lastSeenAt, version: r.version,
    }
  })
  const order = { open: 0, over: 1, withdrawn: 2 }
  return lines.sort((a, b) => order[a.state] - order[b.state])
}

/** What an address opens. Asked by the digest: how long the answer takes says nothing about the secret. */
export async function askLink(db: Reader, secret: string, zone: string, now: Date): Promise<AskedLink> {
  if (!isSecret(secret)) return { is: 'unknown' }
  const row = await db.guestLink.findUnique({ where: { digest: digest(secret) } })
  if (!row) return { is: 'unknown' }
  if (row.revokedAt !== null) return { is: 'withdrawn', on: row.revokedAt }
  if (row.untilOn !== null && isoDate(row.untilOn) < localDate(zone, now)) return { is: 'over', on: isoDate(row.untilOn) }
  return { is: 'open', link: { id: row.id, buildId: row.buildId, shows: showsOf(row) } }
}

/** Whether this secret is a link of this build: an address is shown only where it opens something. */
export async function isLinkOf(db: Reader, buildId: string, secret: string): Promise<boolean> {
  return (await db.guestLink.count({ where: { digest: digest(secret), buildId, revokedAt: null } })) === 1
}
