import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { passwordMatches } from '../../../platform/passwords.ts'
import type { SignInService } from '../../../platform/sign-in.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'

/** Other devices are signed out; this one gets a new sign-in. */
export async function changePassword(
  tx: Tx, ctx: Ctx, signIn: SignInService, input: { current: string; password: string },
): Promise<Result<{ secret: string; done: Done }, Refusal>> {
  const user = await tx.signInUser.findUnique({ where: { memberId: ctx.member.id }, select: { email: true, passwordHash: true } })
  if (!user || !(await passwordMatches(user.passwordHash, input.current))) {
    return refused(422, 'Your password is as it was.', { fields: { current: 'This is not your password so far' } })
  }
  const { userId } = await signIn.setPassword(tx, { memberId: ctx.member.id, email: user.email, password: input.password })
  await audit(tx, ctx, { what: 'changed their password', entity: 'member', entityId: ctx.member.id })
  return ok({ secret: await signIn.enterWithin(tx, userId), done: { location: '/me', flash: 'Your password is changed. Other devices are signed out.' } })
}
