import { createHash } from 'node:crypto'
import type { FastifyBaseLogger, FastifyInstance } from 'fastify'
import { timeWords } from '../../../../views/shared/times.ts'
import { instant } from '../../../core/units/index.ts'
import type { Clock } from '../../../platform/clock.ts'
import { transact, type Db, type Tx } from '../../../platform/database.ts'
import type { Deps } from '../../../platform/deps.ts'
import { LIVE_CHANNEL, type Events } from '../../../platform/events.ts'
import type { JobQueue } from '../../../platform/jobs.ts'
import { NotReached, openMailer, type Mailer, type MailLine } from '../../../platform/mail.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { currentPlan } from '../queries/plans.ts'
import { stopAddress } from '../reminders/addresses.ts'
import { keepReminders, type DueMail } from '../reminders/commands/keep.ts'
import { markMail, noteFailure, noteSent, readyMail } from '../reminders/commands/mark.ts'
import { stopReminders } from '../reminders/commands/wish.ts'
import { askersOf } from '../reminders/queries/askers.ts'
import { sessionsDue } from '../reminders/queries/sessions.ts'
import { windowsDue } from '../reminders/queries/windows.ts'
import { toInstant } from '../times.ts'

/** Held while one instance looks at what is due. */
const LOCK = 7_266_020
const TICK_MS = 60_000
/** By then the queue has usually started. */
const FIRST_MS = 3_000
export const MAIL_JOB = 'mail'
const DAY = 1440
/** So far ahead of now pieces are looked at: films wait for their next coat that long at most. */
const PLAN_DAYS = 14

export type ReminderParts = { db: Db; clock: Clock; log: FastifyBaseLogger; mailer: Mailer; publicUrl: string }

/** Brings the waiting mails in line with the plan and the sessions, and puts those that are due into the queue, all in one transaction. 'busy': another instance is at it. */
export async function lookOnce(parts: ReminderParts, enqueue: (tx: Tx, mail: DueMail) => Promise<void>): Promise<number | 'busy'> {
  const { db, clock, publicUrl } = parts
  return transact(db, async (tx) => {
    const [lock] = await tx.$queryRaw<{ got: boolean }[]>`select pg_try_advisory_xact_lock(${LOCK}) as got`
    if (!lock?.got) return 'busy'
    const club = await tx.club.findUnique({ where: { id: 1 }, select: { name: true, zone: true, locale: true } })
    if (!club) return 0
    const now = clock.now()
    const at = toInstant(now)
    const askers = await askersOf(tx)
    const plan = askers.length > 0 ? await currentPlan(tx, { from: now, until: new Date(now.getTime() + PLAN_DAYS * 86_400_000) }) : null
    const around = { at, publicUrl, times: (t: number) => timeWords(club, new Date(t * 60_000)) }
    const dues = [...(plan ? await windowsDue(tx, plan, askers, around) : []), ...(await sessionsDue(tx, plan, askers, around))]
    const zone = offsetTable(club.zone, instant(at - DAY), instant(at + 14 * DAY))
    const due = await keepReminders(tx, dues, askers, { now, at, zone, club: club.name, publicUrl })
    for (const mail of due) await enqueue(tx, mail)
    return due.length
  }, { timeoutMs: 60_000 })
}

/** One job for a mail and the time that it has now: a mail that is moved gets another. */
export function jobId({ id, sendAt }: DueMail): string {
  const hex = createHash('sha256').update(`${id} ${sendAt.toISOString()}`).digest('hex')
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20, 32)].join('-')
}

export type Delivered = 'sent' | 'not-now' | 'refused' | 'unknown'

/**
 * Sends one mail, at most once whatever happens: first the line to the server, then the mark, committed, then the mail. Who dies after
 * the mark leaves it unsent for good; who can't reach the server has marked nothing, and may try again. @throws NotReached
 */
export async function deliver(parts: ReminderParts, id: string): Promise<Delivered> {
  const { db, clock, log, mailer } = parts
  const { zone: name } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const now = clock.now()
  const zone = offsetTable(name, instant(toInstant(now) - DAY), instant(toInstant(now) + DAY))
  if (!(await readyMail(db, id, now, zone))) return 'not-now'
  const line = await openLine(parts, id)
  try {
    // A slow server takes up to half a minute to greet: meanwhile the mail may have become useless, or the quiet hours begun.
    const at = clock.now()
    const ready = await transact(db, (tx) => markMail(tx, id, at, zone))
    if (!ready) return 'not-now'
    const sent = await line.send({ id, from: mailer.from, to: ready.to, subject: ready.subject, text: ready.text, at, stopUrl: stopAddress(parts.publicUrl, ready.stopKey) })
      .catch((error: Error) => ({ kind: 'unknown' as const, why: error.message }))
    if (sent.kind === 'taken') {
      await transact(db, (tx) => noteSent(tx, id, at))
      return 'sent'
    }
    log.warn({ mail: id, why: sent.why }, sent.kind === 'refused' ? 'the mail server refused a reminder' : 'a reminder may not have arrived')
    await transact(db, (tx) => noteFailure(tx, id, sent.kind === 'refused' ? `the mail server said: ${sent.why}` : `the connection to the mail server broke off (${sent.why}); it may have arrived all the same`))
    return sent.kind
  } finally {
    line.close()
  }
}

async function openLine({ db, mailer }: ReminderParts, id: string): Promise<MailLine> {
  try {
    return await mailer.open()
  } catch (error) {
    if (error instanceof NotReached) await transact(db, (tx) => noteFailure(tx, id, 'the mail server could not be reached'))
    throw error
  }
}

export type Reminders = { start(events: Events): Promise<void>; stop(): Promise<void>; /** Looks now. */ look(): Promise<void> }

export function createReminders(parts: ReminderParts, jobs: JobQueue): Reminders {
  const { log } = parts
  // An unreachable server is tried again every two minutes for as long as the mail is of use; so is a job that a dead instance held.
  jobs.work(MAIL_JOB, { retryLimit: 2_000, retryDelay: 120, expireInSeconds: 120 }, async (data) => {
    await deliver(parts, data['mailId'] ?? '')
  })
  const offs: (() => void)[] = []
  const timers: NodeJS.Timeout[] = []
  let current: Promise<void> | null = null
  let isAsked = false

  const work = async () => {
    while (isAsked) {
      isAsked = false
      if (!jobs.isRunning) return
      try {
        const found = await lookOnce(parts, (tx, mail) => jobs.enqueue(tx, MAIL_JOB, jobId(mail), { mailId: mail.id }))
        if (found !== 'busy' && found > 0) jobs.wake(MAIL_JOB)
      } catch (error) {
        if (jobs.isRunning) log.warn({ err: error }, 'reminders could not be looked at; they are in a minute')
      }
    }
  }
  const look = (): Promise<void> => {
    isAsked = true
    current ??= work().finally(() => {
      current = null
    })
    return current
  }

  return {
    look,
    async start(events) {
      timers.push(setTimeout(() => void look(), FIRST_MS).unref(), setInterval(() => void look(), TICK_MS).unref())
      offs.push(await events.on(LIVE_CHANNEL, ({ payload, missed }) => void ((payload === 'plan' || missed) && look())))
    },
    async stop() {
      for (const timer of timers) clearTimeout(timer)
      for (const off of offs.splice(0)) off()
      await current
    },
  }
}

/** Sends reminders as long as this app listens, where mail and the service's own address are set. */
export function runReminders(app: FastifyInstance, deps: Deps): void {
  const { db, clock, log, config, events, jobs } = deps
  const mailer = openMailer(config)
  if (!mailer || !config.publicUrl || !jobs) return
  const reminders = createReminders({ db, clock, log, mailer, publicUrl: config.publicUrl }, jobs)
  app.addHook('onListen', async () => {
    await reminders.start(events).catch((error: Error) => log.error({ err: error }, 'reminders can’t hear of plans; they are looked at every minute'))
  })
  app.addHook('preClose', async () => reminders.stop())
}

/** False: the key is nobody's. */
export const stopByKey = (db: Db, stopKey: string): Promise<boolean> => transact(db, (tx) => stopReminders(tx, stopKey))
