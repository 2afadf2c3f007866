import { randomBytes } from 'node:crypto'
import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../../platform/write.ts'
import { trialLetter, foot } from '../../../../../views/planning/words/reminders.ts'
import { ownAddress, stopAddress } from '../addresses.ts'
import type { RemindersInput } from '../schemas.ts'

const OWN = '/me/reminders'
/** A mail to try it out may be asked for so often. */
const TRIAL_MINUTES = 5
const DAY_MS = 86_400_000

/** The member's row; made at the first wish, with the secret that stops reminders. Its version counts from 1, as the form had it. */
async function wishOf(tx: Tx, memberId: string) {
  await tx.reminderWish.createMany({ data: [{ memberId, stopKey: randomBytes(24).toString('base64url') }], skipDuplicates: true })
  return tx.reminderWish.findUniqueOrThrow({ where: { memberId } })
}

export async function saveWish(tx: Tx, ctx: Ctx, { version, ...input }: RemindersInput): Promise<Result<Done, Refusal>> {
  const memberId = ctx.member.id
  await wishOf(tx, memberId)
  const { count } = await tx.reminderWish.updateMany({ where: { memberId, version }, data: { ...input, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Your reminders were changed meanwhile, perhaps by you on another page.', { current: await tx.reminderWish.findUnique({ where: { memberId } }) })
  await dropUnwished(tx, memberId, input)
  const kinds = [...(input.windows ? ['windows'] : []), ...(input.sessions ? ['sessions'] : [])]
  return ok({ location: OWN, flash: kinds.length === 0 ? 'You get no reminders.' : `You are reminded of ${kinds.join(' and ')}.` })
}

/** What waits and is not wished for any more goes at once. */
async function dropUnwished(tx: Tx, memberId: string, wish: { windows: boolean; sessions: boolean }): Promise<void> {
  const gone = [...(wish.windows ? [] : ['window']), ...(wish.sessions ? [] : ['session'])]
  await tx.mail.deleteMany({ where: { memberId, kind: { in: gone }, markedAt: null } })
}

/** The club's name, or null where the key is nobody's. Stopping twice is as good as once. */
export async function stopReminders(tx: Tx, stopKey: string): Promise<boolean> {
  const wish = await tx.reminderWish.findUnique({ where: { stopKey }, select: { memberId: true } })
  if (!wish) return false
  await tx.reminderWish.update({ where: { stopKey }, data: { windows: false, sessions: false, version: { increment: 1 } } })
  await tx.mail.deleteMany({ where: { memberId: wish.memberId, markedAt: null } })
  return true
}

/** A mail to oneself, to see whether they arrive. */
export async function tryMail(tx: Tx, ctx: Ctx, club: string, publicUrl: string): Promise<Result<Done, Refusal>> {
  const memberId = ctx.member.id
  const { stopKey } = await wishOf(tx, memberId)
  const last = await tx.mail.findFirst({ where: { memberId, kind: 'trial' }, orderBy: { createdAt: 'desc' }, select: { createdAt: true } })
  if (last && ctx.now.getTime() - last.createdAt.getTime() < TRIAL_MINUTES * 60_000) return refused(422, `A mail to try it out was asked for a moment ago; wait ${TRIAL_MINUTES} minutes before the next.`)
  const { subject, text } = trialLetter(club)
  await tx.mail.create({
    data: {
      memberId, kind: 'trial', about: `trial:${ctx.now.toISOString()}`, subject, text: `${text}\n${foot(club, ownAddress(publicUrl), stopAddress(publicUrl, stopKey))}`,
      sendAt: ctx.now, uselessAt: new Date(ctx.now.getTime() + DAY_MS), createdAt: ctx.now,
    },
  })
  return ok({ location: OWN, flash: 'A mail is on its way to you; it takes a minute or two.' })
}
