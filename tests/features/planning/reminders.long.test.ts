import { afterAll, expect, test } from 'vitest'
import { ROOT } from '../../../src/platform/paths.ts'
import { launch, stopAll, type Service } from '../../start/service.ts'
import { testClub } from '../../support/app.ts'
import { postOffice } from '../../support/post-office.ts'

/** The service itself, as it is started, killed over a mail and started again, twice over. */
const club = await testClub()
const office = await postOffice()
afterAll(async () => {
  await stopAll()
  await office.close()
})
const ann = await club.signedIn(['builder'])
await club.db.reminderWish.create({ data: { memberId: ann.memberId, windows: true, sessions: true, stopKey: 'abcdefghijklmnopqrstuvwxyz012345', quietFrom: '00:00', quietTo: '00:00' } })

const start = (): Promise<Service> =>
  launch({ cwd: ROOT, env: { DATABASE_URL: club.database.url, SMTP_URL: office.url, MAIL_FROM: 'boats@example.org', PUBLIC_URL: 'http://boats.example.org', HOST: '127.0.0.1' } })

/** A mail that no plan takes away, due now by the clock of the real service. */
async function due(about: string): Promise<string> {
  const now = new Date()
  const { id } = await club.db.mail.create({ data: { memberId: ann.memberId, kind: 'trial', about, subject: about, text: about, sendAt: now, uselessAt: new Date(now.getTime() + 3_600_000), createdAt: now } })
  return id
}
const subjects = () => office.letters.map((l) => l.subject).sort()

test('killed (-9) while the server has the text in hand, it never sends that mail again; what waited goes when it is started anew, by two instances once each', async () => {
  const first = await due('killed over')
  let hasText = false
  // Takes the text and never answers.
  office.onLetter = () => new Promise<void>(() => (hasText = true))
  const service = await start()
  await expect.poll(() => hasText, { timeout: 60_000 }).toBe(true)
  service.process.kill('SIGKILL')
  await service.exited
  expect(await club.db.mail.findUniqueOrThrow({ where: { id: first } })).toMatchObject({ sentAt: null, failure: '', markedAt: expect.any(Date) })
  expect(await club.db.$queryRaw`select state::text from pgboss.job where name = 'mail'`).toEqual([{ state: 'active' }])

  // Its job is made to be past its time, as it is two minutes later: the queue gives it to somebody again.
  await club.db.$executeRaw`update pgboss.job set started_on = started_on - interval '1 hour' where name = 'mail'`
  const later = await Promise.all(['waiting 1', 'waiting 2', 'waiting 3'].map(due))
  office.onLetter = () => undefined
  const both = await Promise.all([start(), start()])
  await expect.poll(() => office.letters.length, { timeout: 90_000 }).toBeGreaterThanOrEqual(later.length)
  // Maintenance of the queue comes once a minute, and what it gives out again waits two.
  await expect.poll(async () => (await club.db.$queryRaw<{ n: number }[]>`select count(*)::int as n from pgboss.job where name = 'mail' and state <> 'completed'`)[0]?.n, { timeout: 300_000, interval: 2_000 }).toBe(0)
  expect(subjects()).toEqual(['waiting 1', 'waiting 2', 'waiting 3'])
  for (const one of both) {
    one.process.kill('SIGTERM')
    expect(await one.exited).toBe(0)
    expect(one.output()).not.toContain('smtp://')
  }
})
