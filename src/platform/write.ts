import type { FastifyBaseLogger, FastifyReply, FastifyRequest } from 'fastify'
import type { z } from 'zod'
import { refuse, type Result } from '../core/result.ts'
import { transact, type Db, type TransactOptions, type Tx } from './database.ts'
import { failure } from './errors.ts'
import type { Role } from './generated/enums.ts'
import { setAfter, setFlash } from './flash.ts'
import { requestedIn } from './replan.ts'

/** What a command leaves behind: where to go next, and a sentence for the person. */
export type Done = { location: string; flash?: string }

/** Why a command changed nothing. `fields` puts a message at a form field; `current` is what is stored now, for a stale edit. */
export type Refusal = { status: 403 | 404 | 409 | 422; message: string; fields?: Record<string, string>; current?: unknown }

export type Actor = { id: string; name: string; roles: readonly Role[] }

export type Ctx = {
  now: Date
  member: Actor
  clubZone: string
  log: FastifyBaseLogger
  /** The policy table, for what a body decides (which build a row is of); routes are guarded before they run. */
  may(permission: string, onTeam?: boolean): boolean
}

/** A write that a signed-out person may make: set-up, sign-in, taking up an invitation. */
export type PublicCtx = Omit<Ctx, 'member'> & { member: Actor | null }

/** The form as it was sent, for showing it again. */
export type Typed = Record<string, string | string[]>

export type Write<S extends z.ZodType, C, P = undefined> = {
  schema: S
  /** Slow work that needs no database, before the transaction: reading photos. A form that was answered before does without. */
  prepare?(input: z.output<S>): Promise<Result<P, Refusal>>
  run(tx: Tx, ctx: C, input: z.output<S>, prepared: P): Promise<Result<Done, Refusal>>
  /** Shows the form again with what was typed; `reply.view(Form, {...}, { status: refusal.status })`. */
  refused(refusal: Refusal, typed: Typed): unknown
  isolation?: 'serializable'
}

/** The walk of every write by a signed-in member: parse → one transaction (once key, command) → 303. */
export async function write<S extends z.ZodType, P = undefined>(req: FastifyRequest, reply: FastifyReply, form: Write<S, Ctx, P>): Promise<unknown> {
  const { member } = req
  if (!member) throw failure('sign-in-needed')
  return walk(req, reply, form, { ...context(req), member })
}

/** The same for a write that needs no sign-in. */
export async function writePublic<S extends z.ZodType>(req: FastifyRequest, reply: FastifyReply, form: Write<S, PublicCtx>): Promise<unknown> {
  return walk(req, reply, form, { ...context(req), member: req.member })
}

function context(req: FastifyRequest) {
  return { now: req.server.deps.clock.now(), clubZone: req.club?.zone ?? 'UTC', log: req.log, may: (permission: string, onTeam?: boolean) => req.may(permission, onTeam) }
}

class RolledBack extends Error {
  readonly refusal: Refusal
  constructor(refusal: Refusal) {
    super(refusal.message)
    this.refusal = refusal
  }
}

async function walk<S extends z.ZodType, C extends PublicCtx, P>(req: FastifyRequest, reply: FastifyReply, form: Write<S, C, P>, ctx: C) {
  const typed = (req.body ?? {}) as Typed
  const parsed = form.schema.safeParse(typed)
  if (!parsed.success) return form.refused(fromZod(parsed.error), typed)
  const key = String(typed['once'])
  const route = `${req.method} ${req.routeOptions.url ?? ''}`
  const { db } = req.server.deps
  const prepared = form.prepare && !(await isAnswered(db, key)) ? await form.prepare(parsed.data) : null
  if (prepared && !prepared.ok) return form.refused(prepared.refusal, typed)
  try {
    const done = await onceIn(db, key, ctx, route, async (tx) => {
      if (form.prepare && !prepared) throw failure('once-used')
      const result = await form.run(tx, ctx, parsed.data, prepared?.value as P)
      if (!result.ok) throw new RolledBack(result.refusal)
      return result.value
    }, form.isolation ? { isolation: form.isolation } : {})
    if (done.flash) setFlash(req, reply, done.flash)
    if (done.request !== undefined) setAfter(req, reply, done.request)
    return reply.redirect(done.location, 303)
  } catch (error) {
    if (error instanceof RolledBack) return form.refused(error.refusal, typed)
    throw error
  }
}

/** Whether a key has its answer: then nothing is run any more, so nothing need be prepared for it either. */
async function isAnswered(db: Db, key: string): Promise<boolean> {
  return (await db.onceKey.count({ where: { key, location: { not: null } } })) > 0
}

/** One transaction: the once-only key, then what is to be done; a key that was used gets the answer of its first time. */
export async function onceIn(db: Db, key: string, ctx: PublicCtx, route: string, run: (tx: Tx) => Promise<Done>, options: TransactOptions = {}): Promise<Done & { request?: bigint | undefined }> {
  return transact(
    db,
    async (tx) => {
      const earlier = await claim(tx, key, ctx, route)
      if (earlier) return earlier
      const done = await run(tx)
      await tx.$executeRaw`update once_key set location = ${done.location} where key = ${key}::uuid`
      return { ...done, request: requestedIn(tx) }
    },
    options,
  )
}

/**
 * Takes the key for this transaction. A second sending waits here until the first has committed (then it gets that answer) or
 * has rolled back (then it takes the key itself). A key is good for one form of one person.
 */
async function claim(tx: Tx, key: string, ctx: PublicCtx, route: string): Promise<Done | null> {
  const memberId = ctx.member?.id ?? null
  const taken = await tx.$executeRaw`
    insert into once_key (key, member_id, route, created_at) values (${key}::uuid, ${memberId}::uuid, ${route}, ${ctx.now})
    on conflict do nothing`
  if (taken === 1) return null
  const first = await tx.onceKey.findUnique({ where: { key } })
  if (!first?.location || first.route !== route || first.memberId !== memberId) throw failure('once-used')
  return { location: first.location, flash: 'That was saved already; it is in the books once.' }
}

/** The first message of each field; a message about the whole form becomes the refusal's own. */
export function fromZod(error: z.ZodError): Refusal {
  const fields: Record<string, string> = {}
  let message = ''
  for (const issue of error.issues) {
    const name = issue.path.join('.')
    if (name === '') message ||= issue.message
    else fields[name] ??= issue.message
  }
  return { status: 422, fields, message: message || 'Some of this can’t be used as it stands; see the notes at the fields. Nothing was changed.' }
}

/** A refusal in one line: `return refused(409, 'Somebody changed this meanwhile.', { current: row })`. */
export function refused(status: Refusal['status'], message: string, more: Omit<Refusal, 'status' | 'message'> = {}): { ok: false; refusal: Refusal } {
  return refuse({ status, message, ...more })
}

export type AuditEntry = { what: string; entity: string; entityId: string; buildId?: string; before?: unknown; after?: unknown }

/** Writes who did what to which row, in the command's own transaction. */
export async function audit(tx: Tx, ctx: PublicCtx, entry: AuditEntry): Promise<void> {
  await tx.auditRow.create({
    data: {
      at: ctx.now,
      memberId: ctx.member?.id ?? null,
      what: entry.what,
      entity: entry.entity,
      entityId: entry.entityId,
      buildId: entry.buildId ?? null,
      ...(entry.before === undefined ? {} : { before: plain(entry.before) }),
      ...(entry.after === undefined ? {} : { after: plain(entry.after) }),
    },
  })
}

/** JSON of a row: dates as ISO text, bigints as text. */
function plain(value: unknown) {
  return JSON.parse(JSON.stringify(value, (_key, part: unknown) => (typeof part === 'bigint' ? String(part) : part))) as object
}
