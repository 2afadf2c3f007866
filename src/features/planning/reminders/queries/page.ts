import type { Reader } from '../../../../platform/database.ts'

/** on: they go. no-mail: no mail server is set. no-address: the service doesn't know its own address for the links. */
export type MailState = 'on' | 'no-mail' | 'no-address'
export type MailLine = {
  readonly id: string
  readonly kind: string
  readonly subject: string
  readonly sendAt: Date
  readonly markedAt: Date | null
  readonly sentAt: Date | null
  readonly failure: string
}
export type RemindersPage = {
  readonly state: MailState
  readonly address: string | null
  readonly wish: { readonly windows: boolean; readonly sessions: boolean; readonly quietFrom: string; readonly quietTo: string; readonly version: number }
  readonly waiting: readonly MailLine[]
  /** The last ten that went, or should have gone. */
  readonly sent: readonly MailLine[]
}

const SHOWN = 10
const USUAL = { windows: false, sessions: false, quietFrom: '21:30', quietTo: '07:30', version: 1 }

export async function remindersPage(db: Reader, memberId: string, state: MailState, now: Date): Promise<RemindersPage> {
  const select = { id: true, kind: true, subject: true, sendAt: true, markedAt: true, sentAt: true, failure: true } as const
  const member = await db.member.findUniqueOrThrow({ where: { id: memberId }, select: { signInUser: { select: { email: true } }, reminderWish: true } })
  const [waiting, sent] = await Promise.all([
    db.mail.findMany({ where: { memberId, markedAt: null, uselessAt: { gt: now } }, select, orderBy: [{ sendAt: 'asc' }, { id: 'asc' }], take: SHOWN }),
    db.mail.findMany({
      where: { memberId, OR: [{ markedAt: { not: null } }, { uselessAt: { lte: now }, failure: { not: '' } }] }, select, orderBy: [{ sendAt: 'desc' }, { id: 'asc' }], take: SHOWN,
    }),
  ])
  const { windows, sessions, quietFrom, quietTo, version } = member.reminderWish ?? USUAL
  return { state, address: member.signInUser?.email ?? null, wish: { windows, sessions, quietFrom, quietTo, version }, waiting, sent }
}

export async function isStopKey(db: Reader, stopKey: string): Promise<boolean> {
  return (await db.reminderWish.count({ where: { stopKey } })) > 0
}
