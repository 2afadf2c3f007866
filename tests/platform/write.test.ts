import { randomUUID } from 'node:crypto'
import { h } from 'preact'
import { beforeEach, expect, test } from 'vitest'
import { z } from 'zod'
import type { Feature } from '../../src/app/features.ts'
import { ok } from '../../src/core/result.ts'
import { usePage } from '../../views/shared/page-context.ts'
import { audit, refused, write, writePublic, type Refusal, type Typed } from '../../src/platform/write.ts'
import { COOKIE } from '../../src/platform/sign-in.ts'
import { testClub } from '../support/app.ts'

function Form({ refusal, typed }: { refusal: Refusal; typed: Typed }) {
  return h('form', null, h('input', { name: 'note', value: String(typed['note'] ?? '') }), h('p', null, refusal.message), h('b', null, refusal.fields?.['note'] ?? ''),
    h('i', null, JSON.stringify(refusal.current ?? null)))
}

const List = () => h('html', null, h('p', null, usePage().flash ?? 'nothing new'))

let gate: Promise<void> = Promise.resolve()
let runs = 0

/** A small feature with the walk of every write: it adds a competence, and refuses the note "no". */
const feature: Feature = {
  name: 'writing',
  policy: { 'writing.add': { who: 'member' }, 'writing.public': { who: 'public' } },
  routes: async (app) => {
    const schema = z.object({ note: z.string().trim().min(2, 'Say what it is') })
    app.get('/list', { config: { may: 'writing.add' } }, (_req, reply) => reply.view(List, {}))
    app.post('/add', { config: { may: 'writing.add' } }, (req, reply) =>
      write(req, reply, {
        schema,
        run: async (tx, ctx, { note }) => {
          runs++
          await tx.competence.create({ data: { name: `${note} ${runs}` } })
          await audit(tx, ctx, { what: 'competence added', entity: 'competence', entityId: note, after: { note, big: 2n ** 60n } })
          await gate
          if (note === 'no') return refused(409, 'Somebody was first.', { current: { note: 'theirs' } })
          if (note === 'bug') throw new Error('a bug')
          return ok({ location: `/list?after=${note}`, flash: `Added <${note}>.` })
        },
        refused: (refusal, typed) => reply.view(Form, { refusal, typed }, { status: refusal.status }),
      }))
    app.post('/public', { config: { may: 'writing.public' } }, (req, reply) =>
      writePublic(req, reply, {
        schema,
        run: async (_tx, ctx) => ok({ location: `/${ctx.member?.name ?? 'nobody'}` }),
        refused: (refusal, typed) => reply.view(Form, { refusal, typed }, { status: refusal.status }),
      }))
  },
}

const club = await testClub({ features: [feature] })
const ann = await club.signedIn(['builder'], { name: 'Ann' })
const count = () => club.db.competence.count()

beforeEach(async () => {
  await club.db.competence.deleteMany()
  runs = 0
  gate = Promise.resolve()
})

test('a write answers 303 to where the command says, and books who did it', async () => {
  const answer = await ann.post('/add', { note: 'bandsaw' })
  expect([answer.statusCode, answer.headers.location]).toEqual([303, '/list?after=bandsaw'])
  expect(await count()).toBe(1)
  const row = await club.db.auditRow.findFirstOrThrow({ where: { entityId: 'bandsaw' } })
  expect([row.memberId, row.what, row.at, row.after]).toEqual([ann.memberId, 'competence added', club.clock.now(), { note: 'bandsaw', big: '1152921504606846976' }])
})

test('the same form sent twice books once and gets the first answer', async () => {
  const once = randomUUID()
  const first = await ann.post('/add', { once, note: 'router' })
  const second = await ann.post('/add', { once, note: 'router' })
  expect(second.statusCode).toBe(303)
  expect(second.headers.location).toBe(first.headers.location)
  expect(await count()).toBe(1)
})

test('the same form sent five times at once books once: the others wait for the first', async () => {
  const once = randomUUID()
  let open = () => {}
  gate = new Promise((done) => (open = done))
  const answers = Promise.all(Array.from({ length: 5 }, () => ann.post('/add', { once, note: 'plane' })))
  await expect.poll(() => runs).toBe(1)
  open()
  expect((await answers).map(({ statusCode, headers }) => `${statusCode} ${headers.location}`)).toEqual(Array(5).fill('303 /list?after=plane'))
  expect([runs, await count()]).toEqual([1, 1])
})

test('two forms at once are both booked', async () => {
  await Promise.all([ann.post('/add', { note: 'saw' }), ann.post('/add', { note: 'drill' })])
  expect(await count()).toBe(2)
})

test('a refusal takes everything back, shows what was typed and what is stored, and leaves the key good', async () => {
  const once = randomUUID()
  const answer = await ann.post('/add', { once, note: 'no' })
  expect(answer.statusCode).toBe(409)
  expect(answer.body).toContain('value="no"')
  expect(answer.body).toContain('Somebody was first.')
  expect(answer.body).toContain('theirs')
  expect(await count()).toBe(0)
  expect((await ann.post('/add', { once, note: 'yes' })).statusCode).toBe(303)
  expect(await count()).toBe(1)
})

test('a refusal of the first lets the second of the same key run', async () => {
  const once = randomUUID()
  let open = () => {}
  gate = new Promise((done) => (open = done))
  const first = ann.post('/add', { once, note: 'no' })
  await expect.poll(() => runs).toBe(1)
  const second = ann.post('/add', { once, note: 'good' })
  open()
  expect([(await first).statusCode, (await second).statusCode]).toEqual([409, 303])
  expect(await count()).toBe(1)
})

test('a bug takes everything back, leaves the key good and shows a number, not its text', async () => {
  const once = randomUUID()
  const answer = await ann.post('/add', { once, note: 'bug' })
  expect(answer.statusCode).toBe(500)
  expect(answer.body).toMatch(/(Number: <code>)?[0-9a-f-]{36}/)
  expect(answer.body).not.toContain('a bug')
  expect(await count()).toBe(0)
  expect(await club.db.onceKey.count({ where: { key: once } })).toBe(0)
})

test('input that can’t be used gets its message at the field, escaped, and changes nothing', async () => {
  const answer = await ann.post('/add', { note: '"' })
  expect(answer.statusCode).toBe(422)
  expect(answer.body).toContain('<b>Say what it is</b>')
  expect(answer.body).toContain('value="&quot;"')
  expect(runs).toBe(0)
})

test('somebody else’s key, or a key of another form, is refused', async () => {
  const once = randomUUID()
  await ann.post('/add', { once, note: 'mine' })
  const bea = await club.signedIn(['builder'])
  expect((await bea.post('/add', { once, note: 'yours' })).statusCode).toBe(409)
  expect((await ann.post('/public', { once, note: 'other' })).statusCode).toBe(409)
  expect(await count()).toBe(1)
})

test('a form without a key, or with one that is none, is refused before it runs', async () => {
  for (const once of ['', 'abc', '1; drop table club']) expect((await ann.post('/add', { once, note: 'saw' })).statusCode).toBe(400)
  expect(runs).toBe(0)
})

test('a form with a character that no text can hold is refused, not a fault', async () => {
  expect((await ann.post('/add', { note: 'saw\0' })).statusCode).toBe(400)
  expect((await ann.post('/add', { 'no\0te': 'saw' })).statusCode).toBe(400)
})

test('a form from another origin, or from nowhere that says so, is refused before it runs', async () => {
  const elsewhere: Record<string, string>[] = [
    { origin: 'https://elsewhere.example' },
    { origin: 'null' },
    { origin: 'http://localhost:81' },
    { 'sec-fetch-site': 'cross-site' },
    { 'sec-fetch-site': 'same-site' },
  ]
  for (const headers of elsewhere) expect((await ann.post('/add', { note: 'saw' }, headers)).statusCode, JSON.stringify(headers)).toBe(403)
  const bare = await club.app.inject({
    method: 'POST', url: '/public', payload: `once=${randomUUID()}&note=saw`, headers: { 'content-type': 'application/x-www-form-urlencoded' },
  })
  expect(bare.statusCode).toBe(403)
  expect(runs).toBe(0)
})

test('anything but a form is refused', async () => {
  const json = await club.app.inject({ method: 'POST', url: '/public', payload: { once: randomUUID(), note: 'saw' }, headers: { origin: 'http://localhost:80' } })
  expect(json.statusCode).toBe(400)
})

test('the sentence about what was done is shown on the next page, once and escaped', async () => {
  const answer = await ann.post('/add', { note: 'clamp' })
  const cookie = answer.cookies.find(({ name }) => name === 'garboard_flash')
  expect([cookie?.httpOnly, cookie?.sameSite]).toEqual([true, 'Lax'])
  const next = await ann.get('/list', { cookie: `${COOKIE}=${ann.secret}; garboard_flash=${cookie?.value}` })
  expect(next.body).toBe('<!doctype html><html><p>Added &lt;clamp>.</p></html>')
  expect(next.cookies.find(({ name }) => name === 'garboard_flash')?.value).toBe('')
  expect((await ann.get('/list')).body).toContain('nothing new')
})

test('a write that needs no sign-in knows who is signed in all the same', async () => {
  expect((await club.signedOut.post('/public', { note: 'hello' })).headers.location).toBe('/nobody')
  expect((await ann.post('/public', { note: 'hello' })).headers.location).toBe('/Ann')
})
