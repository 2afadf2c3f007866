import type { OffsetTable } from '../../../../core/calendar/index.ts'
import { instant, type Instant } from '../../../../core/units/index.ts'
import type { Tx } from '../../../../platform/database.ts'
import { foot } from '../../../../../views/planning/words/reminders.ts'
import { toDate, toInstant } from '../../times.ts'
import { stopAddress, ownAddress } from '../addresses.ts'
import type { Asker, Due } from '../model.ts'
import { afterQuiet, isQuiet } from '../quiet.ts'

export type Moment = { readonly now: Date; readonly at: Instant; readonly zone: OffsetTable; readonly club: string; readonly publicUrl: string }
export type DueMail = { readonly id: string; readonly sendAt: Date }

/** Mails older than this go: what was sent long ago is nobody's business any more. */
const KEEP_DAYS = 90

type Row = { id: string; memberId: string; kind: string; about: string; subject: string; text: string; sendAt: Date; uselessAt: Date; markedAt: Date | null; failure: string }
type Wanted = { memberId: string; kind: string; about: string; subject: string; text: string; sendAt: Date; uselessAt: Date }

/** Makes, moves and drops mails so that those waiting are the ones that hold now; gives those that are due. What is marked stays as it is. */
export async function keepReminders(tx: Tx, dues: readonly Due[], askers: readonly Asker[], m: Moment): Promise<DueMail[]> {
  await tx.mail.deleteMany({ where: { createdAt: { lt: new Date(m.now.getTime() - KEEP_DAYS * 86_400_000) } } })
  const rows: Row[] = await tx.mail.findMany({
    where: { OR: [{ markedAt: null }, { about: { in: [...new Set(dues.map((d) => d.about))] } }] },
    select: { id: true, memberId: true, kind: true, about: true, subject: true, text: true, sendAt: true, uselessAt: true, markedAt: true, failure: true },
    orderBy: { id: 'asc' },
  })
  const known = new Map(rows.map((r) => [keyOf(r), r]))
  const who = new Map(askers.map((a) => [a.memberId, a]))
  const wanted = new Map(dues.flatMap((d): [string, Wanted][] => {
    const asker = who.get(d.memberId)
    const want = asker && wantedOf(d, asker, known.get(keyOf(d)), m)
    return want ? [[keyOf(d), want]] : []
  }))

  await tx.mail.deleteMany({ where: { markedAt: null, id: { in: rows.filter((r) => !wanted.has(keyOf(r)) && isOver(r, m.now)).map((r) => r.id) } } })
  const fresh = [...wanted].filter(([key]) => !known.has(key)).map(([, want]) => want)
  if (fresh.length > 0) await tx.mail.createMany({ data: fresh.map((want) => ({ ...want, createdAt: m.now })), skipDuplicates: true })
  for (const [key, want] of wanted) {
    const row = known.get(key)
    if (row && isChanged(row, want)) await tx.mail.updateMany({ where: { id: row.id, markedAt: null }, data: want })
  }
  return tx.mail.findMany({ where: { markedAt: null, sendAt: { lte: m.now }, uselessAt: { gt: m.now } }, select: { id: true, sendAt: true }, orderBy: [{ sendAt: 'asc' }, { id: 'asc' }] })
}

const keyOf = (x: { memberId: string; about: string }) => `${x.memberId} ${x.about}`

/** null: it was sent, or by the time that it may go nobody needs it. */
function wantedOf(due: Due, asker: Asker, row: Row | undefined, m: Moment): Wanted | null {
  if (row?.markedAt) return null
  const quiet = { from: asker.quietFrom, to: asker.quietTo }
  // One that is due and only waits for the server keeps its time.
  const waits = row !== undefined && toInstant(row.sendAt) <= m.at && toInstant(row.sendAt) >= due.at && !isQuiet(m.zone, m.at, quiet)
  const sendAt = waits ? toInstant(row.sendAt) : afterQuiet(m.zone, instant(Math.max(due.at, m.at)), quiet)
  if (sendAt >= due.until || m.at >= due.until) return null
  const { subject, text } = due.write(sendAt)
  return {
    memberId: due.memberId, kind: due.kind, about: due.about, subject, text: `${text}\n${foot(m.club, ownAddress(m.publicUrl), stopAddress(m.publicUrl, asker.stopKey))}`,
    sendAt: toDate(sendAt), uselessAt: toDate(due.until),
  }
}

/** What was not delivered in time stays to be seen; a mail to try it out is nobody's plan. */
function isOver(row: Row, now: Date): boolean {
  const isLate = row.uselessAt <= now
  if (row.failure !== '' && isLate) return false
  return row.kind !== 'trial' || isLate
}

const isChanged = (row: Row, want: Wanted): boolean =>
  row.subject !== want.subject || row.text !== want.text || row.sendAt.getTime() !== want.sendAt.getTime() || row.uselessAt.getTime() !== want.uselessAt.getTime()
