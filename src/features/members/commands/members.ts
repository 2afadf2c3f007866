import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import type { SignInService } from '../../../platform/sign-in.ts'
import { audit, refused, type Ctx, type Done, type PublicCtx, type Refusal } from '../../../platform/write.ts'
import type { EditMe, EditMember, NewMember } from '../schemas.ts'

type Answer = Promise<Result<Done, Refusal>>

/** Takes the address for this transaction: of two people who send the same one at once, the second is told. */
export async function emailIsFree(tx: Tx, email: string | null, exceptMemberId?: string): Promise<Refusal | null> {
  if (email === null) return null
  await tx.$executeRaw`select pg_advisory_xact_lock(hashtextextended('e-mail ' || ${email}, 0))`
  const not = exceptMemberId ? { not: exceptMemberId } : undefined
  const other = await tx.member.findFirst({ where: { email, ...(not && { id: not }) }, select: { name: true } })
  const user = await tx.signInUser.findFirst({ where: { email, ...(not && { memberId: not }) }, select: { member: { select: { name: true } } } })
  const name = other?.name ?? user?.member.name
  if (name === undefined) return null
  return refused(422, 'This e-mail address is taken. Nothing was changed.', { fields: { email: `${name} has this address already` } }).refusal
}

export async function addMember(tx: Tx, ctx: PublicCtx, input: NewMember): Promise<Result<string, Refusal>> {
  const taken = await emailIsFree(tx, input.email)
  if (taken) return { ok: false, refusal: taken }
  const { id } = await tx.member.create({ data: { ...input, roles: [...new Set(input.roles)], createdAt: ctx.now }, select: { id: true } })
  await audit(tx, ctx, { what: 'added a member', entity: 'member', entityId: id, after: input })
  await requestReplan(tx, `${input.name} joined`, ctx)
  return ok(id)
}

export async function newMember(tx: Tx, ctx: Ctx, input: NewMember): Answer {
  const added = await addMember(tx, ctx, input)
  if (!added.ok) return added
  return ok({ location: `/members/${added.value}`, flash: `${input.name} is in. An invitation link lets them sign in.` })
}

/** A person who just turned up: a helper without sign-in, to be completed by an officer. */
export const addWalkIn = (tx: Tx, ctx: PublicCtx, name: string): Promise<Result<string, Refusal>> =>
  addMember(tx, ctx, { name, email: null, phone: null, roles: ['helper'], isMinor: false, helpsAnyone: true, note: 'Walked in' })

const stored = { name: true, email: true, phone: true, roles: true, isMinor: true, helpsAnyone: true, isActive: true, note: true, version: true } as const
const STALE = 'Somebody else changed this page’s member meanwhile. Nothing of yours was saved: compare, and send again what should stay.'

export async function saveMember(tx: Tx, ctx: Ctx, id: string, { version, ...input }: EditMember): Answer {
  const roles = [...new Set(input.roles)]
  // Officers in one order, so that two who take each other's role wait for one another.
  await tx.$queryRaw`select id from member where 'officer' = any(roles) or id = ${id}::uuid order by id for update`
  const before = await tx.member.findUnique({ where: { id }, select: stored })
  if (!before) return refused(404, 'There is no such member.')
  if (before.version !== version) return refused(409, STALE, { current: before })
  const stays = roles.includes('officer') && input.isActive
  if (before.roles.includes('officer') && before.isActive && !stays) {
    const others = await tx.member.count({ where: { id: { not: id }, isActive: true, roles: { has: 'officer' }, signInUser: { isNot: null } } })
    if (others === 0) {
      const message = `${before.name} is the last officer who can sign in. Make somebody else an officer first.`
      return refused(422, message, { fields: { [input.isActive ? 'roles' : 'isActive']: message } })
    }
  }
  const taken = await emailIsFree(tx, input.email, id)
  if (taken) return { ok: false, refusal: taken }
  const noEmail = await keepsSignInEmail(tx, id, input.email)
  if (noEmail) return { ok: false, refusal: noEmail }
  await tx.member.update({ where: { id }, data: { ...input, roles, version: { increment: 1 } } })
  if (!input.isActive) await tx.signIn.deleteMany({ where: { user: { memberId: id } } })
  await audit(tx, ctx, { what: 'changed a member', entity: 'member', entityId: id, before, after: input })
  await requestReplan(tx, `${input.name}’s entry was changed`, ctx)
  return ok({ location: `/members/${id}`, flash: `${input.name}: saved.` })
}

/** The sign-in follows the address; whoever signs in needs one. */
async function keepsSignInEmail(tx: Tx, memberId: string, email: string | null): Promise<Refusal | null> {
  const user = await tx.signInUser.findUnique({ where: { memberId }, select: { id: true, email: true } })
  if (!user || user.email === email) return null
  if (email === null) return refused(422, 'Nothing was changed.', { fields: { email: 'This member signs in with an e-mail address: it can be changed, not removed' } }).refusal
  await tx.signInUser.update({ where: { id: user.id }, data: { email } })
  return null
}

export async function saveMe(tx: Tx, ctx: Ctx, { version, ...input }: EditMe): Answer {
  const { id } = ctx.member
  await tx.$queryRaw`select id from member where id = ${id}::uuid for update`
  const before = await tx.member.findUniqueOrThrow({ where: { id }, select: stored })
  if (before.version !== version) return refused(409, STALE, { current: before })
  const taken = (await emailIsFree(tx, input.email, id)) ?? (await keepsSignInEmail(tx, id, input.email))
  if (taken) return { ok: false, refusal: taken }
  await tx.member.update({ where: { id }, data: { ...input, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'changed their own entry', entity: 'member', entityId: id, before, after: input })
  if (before.helpsAnyone !== input.helpsAnyone) await requestReplan(tx, `${input.name} ${input.helpsAnyone ? 'helps on any build' : 'works on their own builds only'}`, ctx)
  return ok({ location: '/me', flash: 'Saved.' })
}

export async function invite(tx: Tx, ctx: Ctx, signIn: SignInService, id: string, base: string): Answer {
  const member = await tx.member.findUnique({ where: { id }, select: { name: true, isActive: true } })
  if (!member) return refused(404, 'There is no such member.')
  if (!member.isActive) return refused(422, `${member.name} has left: tick “is with us” and save before inviting.`)
  const { token } = await signIn.invite(tx, id)
  await audit(tx, ctx, { what: 'invited a member', entity: 'member', entityId: id })
  return ok({ location: `/members/${id}`, flash: `Give this link to ${member.name}, it is shown only now and works once, for 14 days: ${base}/invite/${token}` })
}
