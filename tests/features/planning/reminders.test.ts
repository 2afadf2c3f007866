import { afterAll, expect, test } from 'vitest'
import { logCoat } from '../../../src/features/builds/public.ts'
import { createReminders, deliver, jobId, lookOnce, type ReminderParts } from '../../../src/features/planning/jobs/reminders.ts'
import { keepReminders } from '../../../src/features/planning/reminders/commands/keep.ts'
import { markMail } from '../../../src/features/planning/reminders/commands/mark.ts'
import { instant } from '../../../src/core/units/index.ts'
import { transact } from '../../../src/platform/database.ts'
import { openJobs } from '../../../src/platform/jobs.ts'
import { NotReached, openMailer, type Mailer } from '../../../src/platform/mail.ts'
import { toInstant } from '../../../src/platform/times.ts'
import { offsetTable } from '../../../src/platform/zone.ts'
import { testClub } from '../../support/app.ts'
import { no, postOffice } from '../../support/post-office.ts'
import { command, planNow, smallClub, textOf } from './club.ts'

const office = await postOffice()
afterAll(() => office.close())
const PUBLIC = 'https://boats.example.org'
const set = { smtpUrl: office.url, mailFrom: 'Saltmarsh Boats <boats@example.org>' }
// Friday 29 May 2026, 10:00 in Berlin (UTC+2).
const club = await testClub({ now: '2026-05-29T08:00:00Z', config: { ...set, publicUrl: PUBLIC } })
const { db } = club
const small = await smallClub(club)
const ann = await club.as(small.ann.id)
const ben = await club.as(small.ben.id)
const at = (local: string) => new Date(`${local}:00+02:00`)
const origin = { origin: PUBLIC }

const parts: ReminderParts = { db, clock: club.clock, log: club.app.log, mailer: openMailer(set)!, publicUrl: PUBLIC }
/** What a listening service does each minute: look, then send what is due. */
async function minute(over: Partial<ReminderParts> = {}): Promise<string[]> {
  const due: string[] = []
  await lookOnce(parts, async (_tx, mail) => void due.push(mail.id))
  const outcomes: string[] = []
  for (const id of due) outcomes.push(await deliver({ ...parts, ...over }, id).catch((error: Error) => error.name))
  return outcomes
}
const waiting = async () => (await db.mail.findMany({ where: { markedAt: null }, orderBy: [{ sendAt: 'asc' }, { member: { name: 'asc' } }, { kind: 'asc' }], include: { member: true } })).map((m) => `${m.member.name}, ${m.kind}, ${m.sendAt.toISOString().slice(0, 16)}`)
const wish = (person: typeof ann, fields: Record<string, string>, version: number) => person.post('/me/reminders', { quietFrom: '21:30', quietTo: '07:30', version, ...fields }, origin)
const versionOf = async (memberId: string) => (await db.reminderWish.findUnique({ where: { memberId } }))?.version ?? 1

const saturday = await small.session('2026-05-30', '10:00', '22:00')
const sunday = await small.session('2026-05-31', '10:00', '16:00')
const first = await small.coat('First fill coat', { caution: 'Resin: gloves on.' })
const second = await small.coat('Second fill coat', { dusty: false })
await small.link(first.id, second.id, { kind: 'window', washMin: 60 })
await planNow(club)
// Either could do it; here it is Ann.
await db.planPiece.updateMany({ where: { taskId: first.id }, data: { people: [ann.memberId] } })

test('nobody is sent anything that they did not tick', async () => {
  expect(await minute()).toEqual([])
  expect(await waiting()).toEqual([])
  const page = textOf((await ann.get('/me/reminders')).body)
  expect(page).toContain(`By mail to ${ann.memberId}@example.org`)
  expect(page).toContain('Nothing was sent to you yet.')
  expect((await ann.get('/me')).body).toContain('href="/me/reminders"')
})

test('quiet hours that are no times are refused beside the field, and nothing is changed', async () => {
  const answer = await wish(ann, { sessions: 'on', quietFrom: '25:00' }, 1)
  expect(answer.statusCode).toBe(422)
  expect(textOf(answer.body)).toContain('Quiet from: write the time as 14:30')
  expect(answer.body).toContain('value="25:00"')
  expect(await db.reminderWish.count()).toBe(0)
})

test('who ticked sessions is reminded the day before at 18:00, with keys, pieces and what to bring', async () => {
  expect((await wish(ann, { sessions: 'on' }, 1)).statusCode).toBe(303)
  expect((await wish(ben, { sessions: 'on', windows: 'on' }, 1)).statusCode).toBe(303)
  expect(await minute()).toEqual([])
  // 18:00 in Berlin is 16:00Z.
  expect(await waiting()).toEqual(['Ann, session, 2026-05-29T16:00', 'Ben, session, 2026-05-29T16:00', 'Ann, session, 2026-05-30T16:00', 'Ben, session, 2026-05-30T16:00'])
  club.clock.set(at('2026-05-29T17:59'))
  expect(await minute()).toEqual([])
  club.clock.set(at('2026-05-29T18:00'))
  expect(await minute()).toEqual(['sent', 'sent'])
  expect(await minute()).toEqual([])
  const mail = office.letters.find((l) => l.envelope.to[0] === `${ann.memberId}@example.org`)
  expect(mail?.subject).toBe('Session Sat 30 May, 10:00–22:00, The shed')
  expect(mail?.date).toEqual(at('2026-05-29T18:00'))
  const text = mail?.text ?? ''
  expect(text).toContain('You said that you come, 10:00–22:00.')
  expect(text).toContain('You have the keys')
  expect(text).toContain('10:00–11:00 Skua, First fill coat (Main floor).')
  expect(text).toContain('Caution: Resin: gloves on.\nThe data sheet, local codes and competent people come first.')
  expect(text).toContain(`${PUBLIC}/sessions/${saturday.id}`)
  const { stopKey } = await db.reminderWish.findUniqueOrThrow({ where: { memberId: ann.memberId } })
  expect(text).toContain(`${PUBLIC}/reminders/stop/${stopKey}`)
  expect(mail?.headerLines.map((h) => h.line).join('\n')).toContain(`List-Unsubscribe: <${PUBLIC}/reminders/stop/${stopKey}>`)
  expect(office.letters.find((l) => l.envelope.to[0] === `${ben.memberId}@example.org`)?.text).toContain('Ann has the keys.')
})

test('who says meanwhile that they don’t come is not reminded; a session that is called off reminds nobody', async () => {
  const mine = { sessionId_memberId: { sessionId: sunday.id, memberId: ben.memberId } }
  await db.attendance.update({ where: mine, data: { answer: 'not_coming' } })
  await minute()
  expect(await waiting()).toEqual(['Ann, session, 2026-05-30T16:00'])
  await db.attendance.update({ where: mine, data: { answer: 'coming' } })
  await db.session.update({ where: { id: sunday.id }, data: { state: 'cancelled' } })
  await minute()
  expect(await waiting()).toEqual([])
  await db.session.update({ where: { id: sunday.id }, data: { state: 'planned' } })
  await minute()
  expect(await waiting()).toEqual(['Ann, session, 2026-05-30T16:00', 'Ben, session, 2026-05-30T16:00'])
})

test('a window that opens at night is told in the morning, and to those who are planned on it', async () => {
  // The coat went on late: 20:30 to 21:30. It opens 5 h 51 after its end, 03:21, and shuts 24 h after its start, Sunday 20:30 (the sum is in moves.test.ts).
  club.clock.set(at('2026-05-30T21:30'))
  await command(club, ann.memberId, (tx, ctx) => logCoat(tx, ctx, { buildId: small.build.id, taskId: first.id, startedAt: at('2026-05-30T20:30'), endedAt: at('2026-05-30T21:30') }))
  await planNow(club)
  const piece = await db.planPiece.findFirstOrThrow({ where: { taskId: second.id }, orderBy: { planId: 'desc' } })
  // Whoever it is that the plan has on it: both tick windows here, one is on the coat.
  await wish(ann, { sessions: 'on', windows: 'on' }, await versionOf(ann.memberId))
  await db.planPiece.updateMany({ where: { taskId: second.id, planId: piece.planId }, data: { people: [ben.memberId] } })
  expect(await minute()).toEqual([])
  // The session's reminders were due at 18:00, when nobody looked: they are of use until it begins at 10:00, so they wait for 07:30 as well.
  expect(await waiting()).toEqual(['Ann, session, 2026-05-31T05:30', 'Ben, session, 2026-05-31T05:30', 'Ben, window, 2026-05-31T05:30'])
  office.letters.length = 0
  club.clock.set(at('2026-05-31T07:30'))
  expect(await minute()).toEqual(['sent', 'sent', 'sent'])
  const mail = office.letters.find((l) => l.subject?.includes('window'))
  expect(mail?.envelope.to).toEqual([`${ben.memberId}@example.org`])
  expect(mail?.subject).toBe('Skua: your window for Second fill coat is open, shuts at 20:30')
  expect(mail?.text).toContain('Your window opened at 03:21, and shuts at 20:30.')
  expect(mail?.text).toContain('You are planned on it Sun 10:00–11:00.')
  expect(await minute()).toEqual([])
})

/** A mail that is due now, for what happens on its way. */
async function due(memberId: string, about: string): Promise<string> {
  const now = club.clock.now()
  const { id } = await db.mail.create({ data: { memberId, kind: 'session', about, subject: about, text: about, sendAt: now, uselessAt: new Date(now.getTime() + 3_600_000), createdAt: now } })
  return id
}
const mailOf = (id: string) => db.mail.findUniqueOrThrow({ where: { id } })

test('a service that dies after the mark never sends that mail again, and the page says that it is not sure', async () => {
  office.letters.length = 0
  const id = await due(ann.memberId, 'died after the mark')
  const now = club.clock.now()
  const zone = offsetTable('Europe/Berlin', toInstant(now), instant(toInstant(now) + 1440))
  // All that is left of that service is what it committed.
  expect(await transact(db, (tx) => markMail(tx, id, now, zone))).not.toBeNull()
  expect(await deliver(parts, id)).toBe('not-now')
  // One whose line breaks off in a way that nobody foresaw.
  const dies: Mailer = { from: set.mailFrom, open: async () => ({ send: () => Promise.reject(new Error('pulled out')), close: () => undefined }) }
  const other = await due(ann.memberId, 'broke off')
  expect(await deliver({ ...parts, mailer: dies }, other)).toBe('unknown')
  expect(await deliver(parts, other)).toBe('not-now')
  expect(office.letters).toEqual([])
  club.clock.moveMinutes(5)
  const page = textOf((await ann.get('/me/reminders')).body)
  expect(page).toContain('not sure: the service was interrupted')
  expect(page).toContain(`could not be delivered to ${ann.memberId}@example.org: the connection to the mail server broke off`)
})

test('a refusal is kept and shown, and is not tried again', async () => {
  const id = await due(ann.memberId, 'refused')
  office.onLetter = () => {
    throw no(550, 'Mailbox is full')
  }
  expect(await deliver(parts, id)).toBe('refused')
  office.onLetter = () => undefined
  expect(await deliver(parts, id)).toBe('not-now')
  expect(textOf((await ann.get('/me/reminders')).body)).toContain(`could not be delivered to ${ann.memberId}@example.org: the mail server said: 550 Mailbox is full`)
})

test('a mail that became useless while the server took its time to greet is neither marked nor sent', async () => {
  office.letters.length = 0
  const id = await due(ann.memberId, 'a slow greeting')
  const before = club.clock.now()
  await db.mail.update({ where: { id }, data: { uselessAt: new Date(before.getTime() + 60_000) } })
  const slow: Mailer = { from: set.mailFrom, open: async () => {
    club.clock.moveMinutes(2)
    return parts.mailer.open()
  } }
  expect(await deliver({ ...parts, mailer: slow }, id)).toBe('not-now')
  expect(await mailOf(id)).toMatchObject({ markedAt: null, sentAt: null })
  expect(office.letters).toEqual([])
  club.clock.set(before)
  await db.mail.delete({ where: { id } })
})

test('a server that can’t be reached marks nothing: the mail waits, says why, and goes once it is there', async () => {
  office.letters.length = 0
  const away: Mailer = { from: set.mailFrom, open: () => Promise.reject(new NotReached('connect ECONNREFUSED')) }
  const id = await due(ann.memberId, 'waits for the server')
  await expect(deliver({ ...parts, mailer: away }, id)).rejects.toBeInstanceOf(NotReached)
  expect(await mailOf(id)).toMatchObject({ markedAt: null, failure: 'the mail server could not be reached' })
  expect(textOf((await ann.get('/me/reminders')).body)).toContain('the mail server could not be reached; it is tried again')
  expect(await deliver(parts, id)).toBe('sent')
  expect(office.letters).toHaveLength(1)
  expect(await mailOf(id)).toMatchObject({ sentAt: club.clock.now(), failure: '' })
})

test('two instances with the same mails, and all their jobs at once, send each of them once; one that starts later finds what waits', async () => {
  office.letters.length = 0
  const ids = await Promise.all(Array.from({ length: 6 }, (_, n) => due(n % 2 ? ann.memberId : ben.memberId, `both ${n}`)))
  // Twelve at once, past the queue: the mark alone decides.
  const outcomes = (await Promise.all([...ids, ...ids].map((id) => deliver(parts, id)))).sort()
  expect(outcomes).toEqual([...ids.map(() => 'not-now'), ...ids.map(() => 'sent')])
  expect(office.letters.map((l) => l.subject).sort()).toEqual(ids.map((_, n) => `both ${n}`))

  // Waiting since before anybody started; kept by a trial, which no plan takes away.
  office.letters.length = 0
  const left = await Promise.all(['left 1', 'left 2', 'left 3'].map((about) => due(ann.memberId, about)))
  await db.mail.updateMany({ where: { id: { in: left } }, data: { kind: 'trial' } })
  const queues = [openJobs(club.database.url), openJobs(club.database.url)]
  const services = queues.map((jobs) => createReminders(parts, jobs))
  await Promise.all(queues.map((jobs) => jobs.start(club.app.log)))
  await Promise.all(services.map((s) => s.look()))
  await Promise.all(services.map((s) => s.look()))
  await expect.poll(() => office.letters.length, { timeout: 20_000 }).toBe(3)
  await Promise.all(services.map((s) => s.stop()))
  await Promise.all(queues.map((jobs) => jobs.stop()))
  expect(office.letters.map((l) => l.subject).sort()).toEqual(['left 1', 'left 2', 'left 3'])
  expect(await db.$queryRaw`select count(*)::int as n from pgboss.job where name = 'mail'`).toEqual([{ n: 3 }])
})

test('a mail that is moved gets a job of its own', () => {
  const mail = { id: '6f1b1f2e-0000-4000-8000-000000000001', sendAt: new Date(0) }
  expect(jobId(mail)).toMatch(/^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/)
  expect(jobId(mail)).toBe(jobId({ ...mail }))
  expect(jobId({ ...mail, sendAt: new Date(60_000) })).not.toBe(jobId(mail))
})

test('a reminder moves with the plan until it is marked, and one that is of no use after the quiet hours is not made at all', async () => {
  const t = (local: string) => toInstant(at(local))
  const asker = { memberId: ben.memberId, windows: true, sessions: true, quietFrom: '21:30', quietTo: '07:30', stopKey: 'x'.repeat(32), isMinor: false, seesAll: false }
  const now = at('2026-06-10T12:00')
  const moment = { now, at: toInstant(now), zone: offsetTable('Europe/Berlin', toInstant(now), instant(toInstant(now) + 7 * 1440)), club: 'The club', publicUrl: PUBLIC }
  const kept = async (opens: string, shuts: string) => {
    const due = { memberId: ben.memberId, kind: 'window' as const, about: 'window:1', at: t(opens), until: t(shuts), write: () => ({ subject: `opens ${opens}`, text: 'x' }) }
    await transact(db, (tx) => keepReminders(tx, [due], [asker], moment))
    return (await db.mail.findMany({ where: { about: 'window:1' } })).map((m) => [m.sendAt, m.subject])
  }
  expect(await kept('2026-06-10T22:00', '2026-06-11T07:30')).toEqual([])
  expect(await kept('2026-06-10T22:00', '2026-06-11T07:31')).toEqual([[at('2026-06-11T07:30'), 'opens 2026-06-10T22:00']])
  expect(await kept('2026-06-11T09:00', '2026-06-11T15:00')).toEqual([[at('2026-06-11T09:00'), 'opens 2026-06-11T09:00']])
  await db.mail.updateMany({ where: { about: 'window:1' }, data: { markedAt: now } })
  expect(await kept('2026-06-12T09:00', '2026-06-12T15:00')).toEqual([[at('2026-06-11T09:00'), 'opens 2026-06-11T09:00']])
  await db.mail.deleteMany({ where: { about: 'window:1' } })
})

test('who leaves the club, or unticks it, gets none of what waits', async () => {
  const mine = await due(ben.memberId, 'left the club')
  await db.member.update({ where: { id: ben.memberId }, data: { isActive: false } })
  expect(await deliver(parts, mine)).toBe('not-now')
  await minute()
  expect(await db.mail.count({ where: { id: mine } })).toBe(0)
  await db.member.update({ where: { id: ben.memberId }, data: { isActive: true } })

  const other = await due(ann.memberId, 'unticked')
  await wish(ann, {}, await versionOf(ann.memberId))
  expect(await deliver(parts, other).catch(() => 'gone')).toBe('not-now')
  expect(await db.mail.count({ where: { id: other } })).toBe(0)
})

test('a page that went stale is told so, with what is stored', async () => {
  const answer = await wish(ann, { sessions: 'on' }, 1)
  expect(answer.statusCode).toBe(409)
  expect(textOf(answer.body)).toContain('Your reminders were changed meanwhile')
})

test('a mail to try it out goes at once, also at night, and not twice within five minutes', async () => {
  club.clock.set(at('2026-06-02T23:00'))
  office.letters.length = 0
  expect((await ann.post('/me/reminders/try', {}, origin)).statusCode).toBe(303)
  const again = await ann.post('/me/reminders/try', {}, origin)
  expect([again.statusCode, textOf(again.body).includes('wait 5 minutes')]).toEqual([422, true])
  expect(await minute()).toEqual(['sent'])
  expect(office.letters[0]?.subject).toBe('Saltmarsh Boat Club: a mail to try it out')
})

test('without a mail server, or without an address for the links, the page says what is missing', async () => {
  const without = await testClubOf({ smtpUrl: undefined })
  expect(textOf(await without())).toContain('The service has no mail set up')
  const nowhere = await testClubOf({ publicUrl: undefined })
  expect(textOf(await nowhere())).toContain('Whoever runs it sets PUBLIC_URL')
})

async function testClubOf(config: { smtpUrl?: undefined; publicUrl?: undefined }): Promise<() => Promise<string>> {
  const { buildApp } = await import('../../../src/app/build-app.ts')
  const { deps } = club.app
  const app = await buildApp({ ...deps.config, ...config }, { db, clock: club.clock, events: deps.events })
  afterAll(() => app.close())
  return async () => (await app.inject({ url: '/me/reminders', cookies: { garboard_sign_in: ann.secret ?? '' } })).body
}
