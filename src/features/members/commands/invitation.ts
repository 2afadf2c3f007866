import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { SignInService } from '../../../platform/sign-in.ts'
import { audit, refused, type PublicCtx, type Refusal } from '../../../platform/write.ts'
import { emailIsFree } from './members.ts'

/** Gives the invited member their password and signs them in. @returns the value of the sign-in cookie */
export async function takeUpInvitation(
  tx: Tx, ctx: PublicCtx, signIn: SignInService, token: string, input: { email: string; password: string },
): Promise<Result<string, Refusal>> {
  const open = await signIn.invitation(tx, token)
  const taken = open && (await emailIsFree(tx, input.email, open.memberId))
  // Who has the address is nobody's business out here.
  if (taken) return refused(422, taken.message, { fields: { email: 'This address belongs to another member' } })
  const done = await signIn.takeUp(tx, token, input)
  if (!done) return refused(404, 'This invitation was used or is past its date. Ask an officer for a new one.')
  await tx.member.update({ where: { id: done.memberId }, data: { email: input.email } })
  await audit(tx, ctx, { what: 'took up an invitation', entity: 'member', entityId: done.memberId })
  return ok(await signIn.enterWithin(tx, done.userId))
}
