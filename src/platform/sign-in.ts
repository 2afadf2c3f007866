import { createHash, randomBytes } from 'node:crypto'
import { Lucia, TimeSpan, type Adapter } from 'lucia'
import { ok, type Result } from '../core/result.ts'
import type { Clock } from './clock.ts'
import type { Db, Tx } from './database.ts'
import { hashPassword, passwordMatches } from './passwords.ts'
import { refused, type Actor, type Refusal } from './write.ts'

type Attributes = { memberId: string; name: string; roles: Actor['roles']; isActive: boolean }

declare module 'lucia' {
  interface Register {
    Lucia: Lucia<Record<never, never>, Attributes>
    DatabaseUserAttributes: Attributes
  }
}

export const COOKIE = 'garboard_sign_in'
/** Days that an invitation is good for. */
export const INVITATION_DAYS = 14
const SIGN_IN_DAYS = 30

/** What is kept of a secret that a browser holds: reading the database signs nobody in. */
export const digest = (secret: string): string => createHash('sha256').update(secret).digest('hex')

/** E-mail addresses are compared in this form. */
export const tidyEmail = (email: string): string => email.trim().toLowerCase()

export type SignInService = ReturnType<typeof signInService>

export function signInService(db: Db, clock: Clock) {
  const lucia = new Lucia(adapter(db), {
    sessionExpiresIn: new TimeSpan(SIGN_IN_DAYS, 'd'),
    getUserAttributes: (user: Attributes) => user,
  })

  return {
    /** Who holds this cookie value; `fresh` says that the cookie should be sent again with its new date. */
    async whoIs(secret: string): Promise<{ member: Actor; fresh: boolean } | null> {
      const { user, session } = await lucia.validateSession(secret)
      if (!user?.isActive) return null
      return { member: { id: user.memberId, name: user.name, roles: user.roles }, fresh: session.fresh }
    },

    /** Checks e-mail and password; the value goes into the cookie (`setSignInCookie`). */
    async enter(input: { email: string; password: string; address: string }): Promise<Result<{ secret: string; memberId: string }, Refusal>> {
      const email = tidyEmail(input.email)
      const attempt = await recordAttempt(db, email, input.address, clock.now())
      if (!attempt.ok) return attempt
      const user = await db.signInUser.findUnique({ where: { email }, include: { member: { select: { isActive: true } } } })
      const matches = await passwordMatches(user?.passwordHash ?? null, input.password)
      if (!user || !matches || !user.member.isActive) {
        return refused(422, 'No member has this e-mail address with this password.', { fields: { password: 'E-mail or password is not right' } })
      }
      await db.signInAttempt.update({ where: { id: attempt.value }, data: { passed: true } })
      const session = await lucia.createSession(user.id, {})
      return ok({ secret: session.id, memberId: user.memberId })
    },

    /** Signs in without a password: right after set-up or an invitation taken up. */
    async enterAs(userId: string): Promise<string> {
      return (await lucia.createSession(userId, {})).id
    },

    /** The same inside the transaction that makes the member: the sign-in is there exactly when the member is. */
    async enterWithin(tx: Tx, userId: string): Promise<string> {
      const secret = randomBytes(24).toString('base64url')
      // Sign-ins end by the real clock, as the library counts.
      await tx.signIn.create({ data: { id: digest(secret), userId, expiresAt: new Date(Date.now() + SIGN_IN_DAYS * 86_400_000) } })
      return secret
    },

    leave: (secret: string): Promise<void> => lucia.invalidateSession(secret),
    leaveEverywhere: (userId: string): Promise<void> => lucia.invalidateUserSessions(userId),

    /** Gives a member an e-mail and a password (again), and ends the sign-ins they had. */
    async setPassword(tx: Tx, input: { memberId: string; email: string; password: string }): Promise<{ userId: string }> {
      const email = tidyEmail(input.email)
      const passwordHash = await hashPassword(input.password)
      const user = await tx.signInUser.upsert({
        where: { memberId: input.memberId },
        create: { memberId: input.memberId, email, passwordHash, createdAt: clock.now() },
        update: { email, passwordHash },
      })
      await tx.signIn.deleteMany({ where: { userId: user.id } })
      return { userId: user.id }
    },

    /** A new invitation; earlier ones of this member end. The token is shown once, as the link /invite/<token>. */
    async invite(tx: Tx, memberId: string): Promise<{ token: string; expiresAt: Date }> {
      const token = randomBytes(24).toString('base64url')
      const expiresAt = new Date(clock.now().getTime() + INVITATION_DAYS * 86_400_000)
      await tx.invitation.deleteMany({ where: { memberId, usedAt: null } })
      await tx.invitation.create({ data: { memberId, tokenHash: digest(token), expiresAt } })
      return { token, expiresAt }
    },

    /** The member an open invitation is for; null when it is unknown, used or past its date. */
    async invitation(tx: Db | Tx, token: string): Promise<{ memberId: string; name: string; email: string | null } | null> {
      const row = await tx.invitation.findUnique({ where: { tokenHash: digest(token) }, include: { member: true } })
      if (!row || row.usedAt || row.expiresAt <= clock.now() || !row.member.isActive) return null
      return { memberId: row.memberId, name: row.member.name, email: row.member.email }
    },

    /** Takes an invitation up, once, even if sent twice at the same time. null: it is not open (any more). */
    async takeUp(tx: Tx, token: string, input: { email: string; password: string }): Promise<{ userId: string; memberId: string } | null> {
      const open = await this.invitation(tx, token)
      if (!open) return null
      const used = await tx.invitation.updateMany({ where: { tokenHash: digest(token), usedAt: null }, data: { usedAt: clock.now() } })
      if (used.count !== 1) return null
      const { userId } = await this.setPassword(tx, { memberId: open.memberId, ...input })
      return { userId, memberId: open.memberId }
    },

    /** Rows past their use; called now and then. */
    async tidy(): Promise<void> {
      await lucia.deleteExpiredSessions()
      await db.signInAttempt.deleteMany({ where: { at: { lt: new Date(clock.now().getTime() - 2 * 86_400_000) } } })
    },
  }
}

const WINDOW_MIN = 15
/** Wrong passwords within 15 minutes: from one address for one e-mail; for one e-mail from anywhere; from one address for any. */
export const ATTEMPTS = { pair: 8, email: 25, address: 60 }

/**
 * Books the attempt before the password is looked at and counts after that is committed: of many at once, each sees at least
 * those before it, so no more than the limit ever get through, whichever instance they reach.
 */
export async function recordAttempt(db: Db, email: string, address: string, now: Date): Promise<Result<bigint, Refusal>> {
  const { id } = await db.signInAttempt.create({ data: { email, address, at: now, passed: false } })
  const since = new Date(now.getTime() - WINDOW_MIN * 60_000)
  const [counts] = await db.$queryRaw<{ pair: number; email: number; address: number }[]>`
    select count(*) filter (where a.email = ${email} and a.address = ${address} and a.id > coalesce((
             select max(p.id) from sign_in_attempt p where p.email = ${email} and p.address = ${address} and p.passed), 0))::int as pair,
           count(*) filter (where a.email = ${email})::int as email,
           count(*) filter (where a.address = ${address})::int as address
    from sign_in_attempt a
    where a.at > ${since} and not a.passed and (a.email = ${email} or a.address = ${address})`
  const over = counts && (counts.pair > ATTEMPTS.pair || counts.email > ATTEMPTS.email || counts.address > ATTEMPTS.address)
  if (!over) return ok(id)
  // Turned away ones do not count, or a patient attacker would keep the member out for ever.
  await db.signInAttempt.delete({ where: { id } })
  return refused(422, `Too many wrong passwords. Wait ${WINDOW_MIN} minutes and try again, or ask an officer for a new invitation.`)
}

/** lucia's store over our tables; the id that a browser holds is kept only as its digest. */
function adapter(db: Db): Adapter {
  return {
    async getSessionAndUser(id) {
      // At every request: one statement, written out.
      const [row] = await db.$queryRaw<{ user_id: string; expires_at: Date; member_id: string; name: string; roles: Actor['roles']; is_active: boolean }[]>`
        select s.user_id, s.expires_at, m.id as member_id, m.name, m.roles::text[] as roles, m.is_active
        from sign_in s join sign_in_user u on u.id = s.user_id join member m on m.id = u.member_id where s.id = ${digest(id)}`
      if (!row) return [null, null]
      return [
        { id, userId: row.user_id, expiresAt: row.expires_at, attributes: {} },
        { id: row.user_id, attributes: { memberId: row.member_id, name: row.name, roles: row.roles, isActive: row.is_active } },
      ]
    },
    async getUserSessions(userId) {
      const rows = await db.signIn.findMany({ where: { userId } })
      return rows.map((row) => ({ ...row, attributes: {} }))
    },
    async setSession({ id, userId, expiresAt }) {
      await db.signIn.create({ data: { id: digest(id), userId, expiresAt } })
    },
    async updateSessionExpiration(id, expiresAt) {
      await db.signIn.updateMany({ where: { id: digest(id) }, data: { expiresAt } })
    },
    async deleteSession(id) {
      await db.signIn.deleteMany({ where: { id: digest(id) } })
    },
    async deleteUserSessions(userId) {
      await db.signIn.deleteMany({ where: { userId } })
    },
    async deleteExpiredSessions() {
      await db.signIn.deleteMany({ where: { expiresAt: { lte: new Date() } } })
    },
  }
}
