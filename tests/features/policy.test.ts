import { randomUUID } from 'node:crypto'
import Fastify, { type RouteOptions } from 'fastify'
import { beforeAll, describe, expect, test, vi } from 'vitest'
import { features, type Feature } from '../../src/app/features.ts'
import type { Deps } from '../../src/platform/deps.ts'
import { Role } from '../../src/platform/generated/enums.ts'
import { PolicyTable, type PolicyRow } from '../../src/platform/policy.ts'
import { registerGuard } from '../../src/platform/request.ts'
import { testClub, type Person } from '../support/app.ts'

// Some thousand requests, on a machine that may be busy.
vi.setConfig({ testTimeout: 300_000 })

/** What a route answers here instead of running: the guard let the request through. No handler changes anything. */
const PASSED = 299

type Route = { method: string; url: string; may: string }
const routes: Route[] = []

/** A row of every kind, so that the walk proves the guard whatever the real features need of it. */
const everyKind: Feature = {
  name: 'every kind',
  policy: {
    'kind.public': { who: 'public' },
    'kind.member': { who: 'member' },
    'kind.roles': { who: ['officer', 'keyholder'] },
    'kind.own': { who: ['officer'], own: ['builder', 'helper'] },
    'kind.private': { who: ['officer'], own: ['builder'], private: true },
    'kind.secret': { who: ['officer'], private: true },
  },
  routes: async (app) => {
    const page = async () => 'never run here'
    for (const [may, url] of [['kind.public', '/kind'], ['kind.member', '/kind/m'], ['kind.roles', '/kind/r'], ['kind.secret', '/kind/s']] as const) {
      app.get(url, { config: { may } }, page)
      app.post(url, { config: { may } }, page)
    }
    for (const may of ['kind.member', 'kind.roles', 'kind.own', 'kind.private']) {
      app.get(`/kind/:buildId/${may}`, { config: { may } }, page)
      app.post(`/kind/:buildId/${may}/:thingId`, { config: { may } }, page)
    }
  },
}

const club = await testClub({
  features: [...features, everyKind],
  onRoute(route: RouteOptions) {
    for (const method of [route.method].flat()) routes.push({ method: String(method), url: route.url, may: route.config?.may ?? '' })
    route.preValidation = async (_req, reply) => reply.code(PASSED).send()
  },
})

type Asker = { name: string; person: Person; role: Role | null; onTeam: boolean }
type Target = { name: string; id: string; isTeamOnly: boolean; isOwn: boolean }
const askers: Asker[] = [{ name: 'signed out', person: club.signedOut, role: null, onTeam: false }]
const targets: Target[] = []

beforeAll(async () => {
  const team: string[] = []
  for (const role of Object.values(Role)) {
    for (const onTeam of [false, true]) {
      const person = await club.signedIn([role])
      if (onTeam) team.push(person.memberId)
      askers.push({ name: `${role}${onTeam ? ' in the team' : ''}`, person, role, onTeam })
    }
  }
  // Whoever is in a team is in the team of "own"; "other" has a team of somebody else.
  const stranger = (await club.make.member(['builder'])).id
  for (const visibility of ['club', 'team'] as const) {
    for (const [name, members] of [['own', team], ['other', [stranger]]] as const) {
      const build = await club.make.build({ visibility }, [...members])
      targets.push({ name: `${name} build, open to the ${visibility}`, id: build.id, isTeamOnly: visibility === 'team', isOwn: name === 'own' })
    }
  }
})

/** The rules, said again in a second way: status expected of a route for someone about a build (or about none). */
function expectedStatus(route: Route, row: PolicyRow, asker: Asker, build: Target | null): number {
  if (row.who === 'public') return PASSED
  if (asker.role === null) return ['GET', 'HEAD'].includes(route.method) ? 303 : 401
  const isTheirs = build !== null && build.isOwn && asker.onTeam
  if (build?.isTeamOnly && !isTheirs && asker.role !== 'officer') return 404
  const may = row.who === 'member' || row.who.includes(asker.role) || (isTheirs && (row.own ?? []).includes(asker.role))
  return may ? PASSED : row.private ? 404 : 403
}

const address = (url: string, buildId: string) =>
  url.replace(/:buildId\b/g, buildId).replace(/:\w+(\([^)]*\))?/g, () => randomUUID()).replace('*', 'htmx.min.js')

async function ask(route: Route, person: Person, buildId: string) {
  const url = address(route.url, buildId)
  if (route.method === 'POST') return person.post(url)
  expect(['GET', 'HEAD']).toContain(route.method)
  return person.get(url)
}

describe('every route, for every role, about own and other builds', () => {
  test('each route names a row of the policy table', () => {
    expect(routes.length).toBeGreaterThan(20)
    for (const { may } of routes) expect(club.app.policyTable.has(may)).toBe(true)
  })

  test('the guard decides as the table says', async () => {
    const wrong: string[] = []
    const walked = new Set<Route>()
    for (const route of routes) {
      const row = club.app.policyTable.row(route.may)
      const targetsHere = route.url.includes(':buildId') ? targets : [null]
      await Promise.all(askers.flatMap((asker) => targetsHere.map(async (target) => {
        const answer = await ask(route, asker.person, target?.id ?? '')
        const status = expectedStatus(route, row, asker, target)
        if (answer.statusCode !== status) {
          wrong.push(`${route.method} ${route.url}: ${asker.name}, ${target?.name ?? 'no build'}: ${answer.statusCode}, not ${status}`)
        }
        if (status === 303 && !String(answer.headers.location).startsWith('/sign-in?then=%2F')) wrong.push(`${route.url}: goes to ${answer.headers.location}`)
      })))
      walked.add(route)
    }
    expect(wrong).toEqual([])
    expect(walked.size).toBe(routes.length)
  })

  test('an address with anything but a uuid where an id belongs is 404, not a fault', async () => {
    for (const route of routes.filter(({ url, may }) => /:\w+Id\b/.test(url) && club.app.policyTable.row(may).who !== 'public')) {
      const url = address(route.url.replace(/:(?!buildId\b)\w+Id\b/g, '1%27%00'), targets[0]?.id ?? '')
      if (!url.includes('%00')) continue
      for (const { person } of askers.slice(1)) expect((route.method === 'POST' ? await person.post(url) : await person.get(url)).statusCode, url).toBe(404)
    }
  })

  test('a build that does not exist is 404 to everyone signed in, whatever their roles', async () => {
    for (const route of routes.filter(({ url }) => url.includes(':buildId'))) {
      for (const { person } of askers.slice(1)) {
        for (const id of [randomUUID(), 'no-uuid']) expect((await ask(route, person, id)).statusCode, `${route.method} ${route.url}`).toBe(404)
      }
    }
  })

  test('a member who left is signed out at once', async () => {
    const person = await club.signedIn(['officer'])
    await club.db.member.update({ where: { id: person.memberId }, data: { isActive: false } })
    const guarded = routes.find(({ method, may }) => method === 'GET' && club.app.policyTable.row(may).who !== 'public')
    if (guarded) expect((await ask(guarded, person, targets[0]?.id ?? '')).statusCode).toBe(303)
  })
})

describe('a route that the table does not cover stops the start', () => {
  const guarded = (rows: Record<string, PolicyRow>) => {
    const app = Fastify()
    const table = new PolicyTable()
    table.add('test', rows)
    registerGuard(app, table, {} as Deps)
    return app
  }

  test('one that names no permission', () => {
    expect(() => guarded({}).get('/open', () => 'open')).toThrow('GET /open does not say who may use it')
  })

  test('one that names a permission which is not listed', () => {
    expect(() => guarded({}).get('/open', { config: { may: 'boats.sink' } }, () => 'open')).toThrow('"boats.sink" is not listed')
  })

  test('one about a build that would be open to all', () => {
    const app = guarded({ all: { who: 'public' } })
    expect(() => app.get('/builds/:buildId', { config: { may: 'all' } }, () => 'open')).toThrow('can’t be public')
  })

  test('one for people of a build’s team that does not say which build', () => {
    const app = guarded({ own: { who: ['officer'], own: ['builder'] } })
    expect(() => app.get('/tasks/:taskId', { config: { may: 'own' } }, () => 'open')).toThrow('needs :buildId')
  })

  test('a permission listed twice, or for nobody', () => {
    const table = new PolicyTable()
    table.add('one', { a: { who: 'member' } })
    expect(() => table.add('two', { a: { who: 'public' } })).toThrow('listed twice')
    expect(() => table.add('two', { b: { who: [] } })).toThrow('nobody may "b"')
  })
})
