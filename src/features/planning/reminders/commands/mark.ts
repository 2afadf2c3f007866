import type { OffsetTable } from '../../../../core/calendar/index.ts'
import type { Reader, Tx } from '../../../../platform/database.ts'
import { toInstant } from '../../times.ts'
import { isQuiet } from '../quiet.ts'

export type Ready = { readonly id: string; readonly to: { readonly name: string; readonly address: string }; readonly subject: string; readonly text: string; readonly stopKey: string }

/** The mail, if it may go now: nobody marked it, it is due and of use, its member is with us, still wants it and is not in their quiet hours. */
export async function readyMail(db: Reader, id: string, now: Date, zone: OffsetTable): Promise<Ready | null> {
  const row = await db.mail.findUnique({
    where: { id },
    select: {
      kind: true, subject: true, text: true, sendAt: true, uselessAt: true, markedAt: true,
      member: { select: { name: true, isActive: true, signInUser: { select: { email: true } }, reminderWish: true } },
    },
  })
  const wish = row?.member.reminderWish
  const address = row?.member.signInUser?.email
  if (!row || !wish || !address || !row.member.isActive || row.markedAt !== null || row.sendAt > now || row.uselessAt <= now) return null
  if ((row.kind === 'window' && !wish.windows) || (row.kind === 'session' && !wish.sessions)) return null
  // Whoever asks for a mail to try it out is awake.
  if (row.kind !== 'trial' && isQuiet(zone, toInstant(now), { from: wish.quietFrom, to: wish.quietTo })) return null
  return { id, to: { name: row.member.name, address }, subject: row.subject, text: row.text, stopKey: wish.stopKey }
}

/** Marks it as sent, before it is: whoever gets an answer here is the only one who may send it, once. */
export async function markMail(tx: Tx, id: string, now: Date, zone: OffsetTable): Promise<Ready | null> {
  await tx.$queryRaw`select 1 from mail where id = ${id}::uuid for update`
  const ready = await readyMail(tx, id, now, zone)
  if (ready) await tx.mail.update({ where: { id }, data: { markedAt: now, failure: '' } })
  return ready
}

export async function noteSent(tx: Tx, id: string, at: Date): Promise<void> {
  await tx.mail.updateMany({ where: { id, markedAt: { not: null } }, data: { sentAt: at, failure: '' } })
}

export async function noteFailure(tx: Tx, id: string, failure: string): Promise<void> {
  await tx.mail.updateMany({ where: { id, sentAt: null }, data: { failure: failure.slice(0, 500) } })
}
