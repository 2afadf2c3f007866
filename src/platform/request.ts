import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { PageClub } from '../../views/shared/page-context.ts'
import type { Config } from './config.ts'
import type { Deps } from './deps.ts'
import { failure } from './errors.ts'
import { judge, type GuardedBuild, type PolicyTable } from './policy.ts'
import { COOKIE } from './sign-in.ts'
import type { Actor } from './write.ts'

declare module 'fastify' {
  interface FastifyInstance {
    deps: Deps
  }
  interface FastifyRequest {
    member: Actor | null
    club: PageClub | null
    /** The build that the address names (`:buildId`), as the guard let it through. */
    build: GuardedBuild | null
    isSecure: boolean
    may(permission: string, onTeam?: boolean): boolean
  }
  interface FastifyContextConfig {
    /** The row of the policy table that says who may use this route. */
    may?: string
    /** A public write that needs neither a page of ours nor a once-only key: the secret in its address is all it asks for, and twice is as good as once. */
    fromAnywhere?: boolean
  }
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i
export const isUuid = (text: unknown): text is string => typeof text === 'string' && UUID.test(text)

const isWrite = (req: FastifyRequest) => !['GET', 'HEAD', 'OPTIONS'].includes(req.method)
/** Needs no member, no club and no database. */
const BARE = new Set(['static', 'health'])

/** In this order: is it our own page that asks, who is it, may they; then, with the body read, is the form whole. */
export function registerGuard(app: FastifyInstance, table: PolicyTable, deps: Deps): void {
  app.decorate('deps', deps)
  app.decorateRequest('member', null)
  app.decorateRequest('club', null)
  app.decorateRequest('build', null)
  app.decorateRequest('isSecure', false)
  app.decorateRequest('may', function may(this: FastifyRequest, permission: string, onTeam = this.build?.onTeam ?? false) {
    return table.may(this.member, permission, onTeam)
  })

  app.addHook('onRoute', (route) => {
    const permission = route.config?.may
    const where = `${String(route.method)} ${route.url}`
    if (!permission) throw new Error(`policy: ${where} does not say who may use it (config.may)`)
    const row = table.row(permission)
    const isAboutBuild = route.url.includes(':buildId')
    if (route.config?.fromAnywhere && row.who !== 'public') throw new Error(`policy: ${where} is open to writes from anywhere, so it can’t depend on who is signed in`)
    if (row.who === 'public' && isAboutBuild) throw new Error(`policy: ${where} is about a build and can’t be public`)
    if ('own' in row && row.own && !isAboutBuild) throw new Error(`policy: ${where} depends on the team of a build, so its address needs :buildId`)
  })

  app.addHook('onRequest', async (req) => {
    req.isSecure = req.protocol === 'https' || deps.config.publicUrl?.startsWith('https:') === true
  })

  app.addHook('onRequest', async (req, reply) => {
    if (isWrite(req) && !req.routeOptions.config.fromAnywhere) checkOrigin(req, deps.config.publicUrl)
    const permission = req.routeOptions.config.may
    if (permission && BARE.has(permission)) return
    await identify(req, reply, deps)
    if (req.is404 || !permission) return
    const row = table.row(permission)
    if (!req.club && row.who !== 'public') {
      if (isWrite(req)) throw failure('set-up-needed')
      return reply.redirect('/set-up', 303)
    }
    const build = hasIds(req) ? await buildOf(req, deps) : null
    switch (judge(table, req.member, permission, isWrite(req), build)) {
      case 'pass':
        req.build = build ?? null
        return
      case 'sign-in':
        return reply.redirect(`/sign-in?then=${encodeURIComponent(req.url)}`, 303)
      case 'sign-in-needed':
        throw failure('sign-in-needed')
      case 'not-yours':
        throw failure('not-yours')
      case 'not-found':
        throw failure('not-found')
    }
  })

  app.addHook('preHandler', async (req) => {
    if (!isWrite(req) || req.is404 || req.routeOptions.config.fromAnywhere) return
    const form = (req.body ?? {}) as Record<string, string | string[]>
    if (!isUuid(form['once'])) throw failure('once-missing')
    // PostgreSQL's text can't hold it, and no keyboard types it.
    if (Object.entries(form).flat(2).some((text) => text.includes('\0'))) throw failure('bad-form')
  })
}

/** A browser says where a form comes from; whoever says nothing is not one of ours. */
function checkOrigin(req: FastifyRequest, publicUrl: string | undefined): void {
  const site = req.headers['sec-fetch-site']
  if (site !== undefined && site !== 'same-origin' && site !== 'none') throw failure('other-origin')
  const { origin } = req.headers
  if (origin === undefined) {
    if (site === undefined) throw failure('other-origin')
    return
  }
  const ours = [`${req.protocol}://${req.host}`, ...(publicUrl ? [new URL(publicUrl).origin] : [])]
  if (!ours.includes(origin)) throw failure('other-origin')
}

async function identify(req: FastifyRequest, reply: FastifyReply, deps: Deps): Promise<void> {
  const club = await deps.db.club.findUnique({
    where: { id: 1 },
    select: { name: true, zone: true, units: true, currency: true, locale: true },
  })
  req.club = club ? { ...club, units: club.units === 'imperial' ? 'imperial' : 'metric' } : null
  const secret = req.cookies[COOKIE]
  if (!secret) return
  const known = await deps.signIn.whoIs(secret)
  if (!known) return void clearSignInCookie(req, reply)
  req.member = known.member
  if (known.fresh) setSignInCookie(req, reply, secret)
}

/** Parts of an address that are called …Id are uuids; anything else there names nothing. */
function hasIds(req: FastifyRequest): boolean {
  return Object.entries((req.params ?? {}) as Record<string, string>).every(([name, value]) => !name.endsWith('Id') || isUuid(value))
}

async function buildOf(req: FastifyRequest, deps: Deps): Promise<GuardedBuild | null | undefined> {
  const params = req.params as { buildId?: string } | undefined
  if (params?.buildId === undefined) return undefined
  if (!req.member) return null
  const build = await deps.db.build.findUnique({
    where: { id: params.buildId },
    select: { id: true, visibility: true, team: { where: { memberId: req.member.id }, select: { memberId: true } } },
  })
  return build && { id: build.id, visibility: build.visibility, onTeam: build.team.length > 0 }
}

const cookie = (req: FastifyRequest) => ({ path: '/', httpOnly: true, sameSite: 'lax' as const, secure: req.isSecure })

/** Keeps a person signed in for 30 days of not coming back. */
export function setSignInCookie(req: FastifyRequest, reply: FastifyReply, secret: string): void {
  reply.setCookie(COOKIE, secret, { ...cookie(req), maxAge: 30 * 86_400 })
}

export function clearSignInCookie(req: FastifyRequest, reply: FastifyReply): void {
  reply.clearCookie(COOKIE, cookie(req))
}

/** Where phones find this service: its public address, else the one that the page was asked for at. */
export const baseAddress = (req: FastifyRequest, config: Config): string => config.publicUrl ?? `${req.protocol}://${req.host}`

/** Where `?then=` may lead: a path of this service, nothing else. */
export function safePath(then: unknown, otherwise = '/'): string {
  return typeof then === 'string' && /^\/(?![/\\])[^\s\\]*$/.test(then) ? then : otherwise
}
