import { beforeEach, expect, test } from 'vitest'
import { transact } from '../../src/platform/database.ts'
import { hashPassword, passwordMatches } from '../../src/platform/passwords.ts'
import { safePath } from '../../src/platform/request.ts'
import { setUpCode, takeSetUpCode } from '../../src/platform/set-up.ts'
import { ATTEMPTS, COOKIE, INVITATION_DAYS, signInService } from '../../src/platform/sign-in.ts'
import { testClub } from '../support/app.ts'

const club = await testClub({ features: [] })
const { db, clock } = club
const { signIn } = club.app.deps
const START = '2026-05-30T08:00:00Z'

beforeEach(async () => {
  clock.set(START)
  await db.signInAttempt.deleteMany()
})

async function memberWithPassword(email: string, password: string) {
  const member = await club.make.member(['builder'])
  const { userId } = await transact(db, (tx) => signIn.setPassword(tx, { memberId: member.id, email, password }))
  return { id: member.id, userId }
}

test('passwords are kept as argon2id with the strength that is meant', async () => {
  const stored = await hashPassword('plywood and tea')
  expect(stored).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/)
  expect(await passwordMatches(stored, 'plywood and tea')).toBe(true)
  expect(await passwordMatches(stored, 'plywood and Tea')).toBe(false)
  expect(await passwordMatches(null, 'nobody has this one')).toBe(false)
})

test('the right e-mail, in any case, and password let in; the cookie’s value is nowhere in the database', async () => {
  const member = await memberWithPassword('Ann@Example.org', 'plywood and tea')
  const entered = await signIn.enter({ email: ' ann@example.ORG ', password: 'plywood and tea', address: '192.0.2.1' })
  if (!entered.ok) throw new Error(entered.refusal.message)
  expect((await signIn.whoIs(entered.value.secret))?.member.id).toBe(member.id)
  expect(await db.signIn.count({ where: { id: entered.value.secret } })).toBe(0)
  await signIn.leave(entered.value.secret)
  expect(await signIn.whoIs(entered.value.secret)).toBeNull()
})

test('an unknown e-mail and a wrong password are told the same', async () => {
  await memberWithPassword('bea@example.org', 'plywood and tea')
  const wrong = await signIn.enter({ email: 'bea@example.org', password: 'x', address: '192.0.2.2' })
  const unknown = await signIn.enter({ email: 'nobody@example.org', password: 'x', address: '192.0.2.2' })
  expect(wrong.ok).toBe(false)
  expect(unknown).toEqual(wrong)
})

test('a new password ends the sign-ins there were', async () => {
  const member = await memberWithPassword('cy@example.org', 'plywood and tea')
  const secret = await signIn.enterAs(member.userId)
  await transact(db, (tx) => signIn.setPassword(tx, { memberId: member.id, email: 'cy@example.org', password: 'another one, longer' }))
  expect(await signIn.whoIs(secret)).toBeNull()
})

const guess = (service: typeof signIn, email: string, password: string, address: string) => service.enter({ email, password, address })

test('guessing is stopped for a pair of e-mail and address, the right password too, until the time is over', async () => {
  await memberWithPassword('dee@example.org', 'plywood and tea')
  for (let n = 0; n < ATTEMPTS.pair; n++) await guess(signIn, 'dee@example.org', 'wrong', '192.0.2.3')
  const right = await guess(signIn, 'dee@example.org', 'plywood and tea', '192.0.2.3')
  expect(!right.ok && right.refusal.message).toMatch(/Too many wrong passwords. Wait 15 minutes/)
  // From where she is usually, she still gets in.
  expect((await guess(signIn, 'dee@example.org', 'plywood and tea', '192.0.2.4')).ok).toBe(true)
  clock.moveMinutes(15)
  expect((await guess(signIn, 'dee@example.org', 'plywood and tea', '192.0.2.3')).ok).toBe(true)
})

test('several instances share the count, and many guesses at once get no more tries than one after another', async () => {
  await memberWithPassword('eve@example.org', 'plywood and tea')
  const services = [signIn, signInService(db, clock), signInService(db, clock)]
  const answers = await Promise.all(Array.from({ length: 30 }, (_, n) => guess(services[n % 3] ?? signIn, 'eve@example.org', `guess ${n}`, '192.0.2.5')))
  const looked = answers.filter((answer) => !answer.ok && answer.refusal.message.startsWith('No member'))
  expect(looked.length).toBeLessThanOrEqual(ATTEMPTS.pair)
})

test('one address that tries many e-mails is stopped, and so is one e-mail tried from many addresses', async () => {
  for (let n = 0; n < ATTEMPTS.address; n++) await db.signInAttempt.create({ data: { email: `m${n}@example.org`, address: '192.0.2.6', at: clock.now(), passed: false } })
  expect(await guess(signIn, 'fay@example.org', 'x', '192.0.2.6')).toMatchObject({ refusal: { message: expect.stringContaining('Too many') } })
  for (let n = 0; n < ATTEMPTS.email; n++) await db.signInAttempt.create({ data: { email: 'gus@example.org', address: `198.51.100.${n}`, at: clock.now(), passed: false } })
  expect(await guess(signIn, 'gus@example.org', 'x', '203.0.113.1')).toMatchObject({ refusal: { message: expect.stringContaining('Too many') } })
})

test('mistyping now and then, with right ones between, never locks out', async () => {
  await memberWithPassword('hal@example.org', 'plywood and tea')
  for (let round = 0; round < 4; round++) {
    for (let n = 0; n < ATTEMPTS.pair - 2; n++) await db.signInAttempt.create({ data: { email: 'hal@example.org', address: '192.0.2.7', at: clock.now(), passed: false } })
    expect((await guess(signIn, 'hal@example.org', 'plywood and tea', '192.0.2.7')).ok).toBe(true)
  }
})

test('an invitation is taken up once, even by two at once, and only before its date', async () => {
  const member = await club.make.member(['builder'], { name: 'Ida' })
  const { token } = await transact(db, (tx) => signIn.invite(tx, member.id))
  expect(await signIn.invitation(db, token)).toMatchObject({ memberId: member.id, name: 'Ida' })
  expect(await db.invitation.count({ where: { tokenHash: token } })).toBe(0)
  const take = () => transact(db, (tx) => signIn.takeUp(tx, token, { email: 'ida@example.org', password: 'plywood and tea' }))
  const taken = await Promise.all([take(), take()])
  expect(taken.filter((answer) => answer !== null)).toHaveLength(1)
  expect(await signIn.invitation(db, token)).toBeNull()

  const late = await transact(db, (tx) => signIn.invite(tx, member.id))
  clock.moveMinutes(INVITATION_DAYS * 24 * 60)
  expect(await signIn.invitation(db, late.token)).toBeNull()
})

test('a newer invitation ends the one before', async () => {
  const member = await club.make.member()
  const first = await transact(db, (tx) => signIn.invite(tx, member.id))
  await transact(db, (tx) => signIn.invite(tx, member.id))
  expect(await signIn.invitation(db, first.token)).toBeNull()
})

test('a cookie that nobody has is cleared', async () => {
  const answer = await club.app.inject({ method: 'GET', url: '/nowhere', cookies: { [COOKIE]: 'made up' } })
  expect(answer.cookies.find(({ name }) => name === COOKIE)?.value).toBe('')
})

test('the set-up code is the same for all instances, read kindly, and good once', async () => {
  const [one, two] = await Promise.all([setUpCode(db), setUpCode(db)])
  expect(one).toBe(two)
  expect(one).toMatch(/^[A-HJ-NP-Z2-9]{5}-[A-HJ-NP-Z2-9]{5}$/)
  const take = (typed: string) => transact(db, (tx) => takeSetUpCode(tx, typed))
  expect(await take('AAAAA-AAAAA')).toBe(false)
  const both = await Promise.all([take(one.toLowerCase().replace('-', ' ')), take(one)])
  expect(both.sort()).toEqual([false, true])
})

test('after signing in one goes only to a path of this service', () => {
  expect(safePath('/builds/1?week=2')).toBe('/builds/1?week=2')
  for (const then of ['//elsewhere.example', '/\\elsewhere.example', 'https://elsewhere.example', 'javascript:alert(1)', '', undefined, ['/a'], '/a b', '/a\nb']) {
    expect(safePath(then)).toBe('/')
  }
})
