import { describe, expect, test } from 'vitest'
import { PASSWORD, testClub } from '../../support/app.ts'
import { members } from './feature.ts'

const club = await testClub({ features: [members] })
const officer = await club.signedIn(['officer'], { name: 'Olga', email: 'olga@example.org' })
const builder = await club.signedIn(['builder'], { name: 'Bert', email: 'bert@example.org' })
const fields = { name: 'Nell', email: 'nell@example.org', phone: '', roles: ['builder'], note: '' }

/** What the page shows in a field. */
const shown = (html: string, name: string) => new RegExp(`name="${name}"[^>]*value="([^"]*)"`).exec(html)?.[1]

describe('a new member', () => {
  test('is added once, however often the form is sent', async () => {
    const once = club.make.once()
    const first = await officer.post('/members/new', { ...fields, once })
    const second = await officer.post('/members/new', { ...fields, once })
    expect([first.statusCode, second.statusCode]).toEqual([303, 303])
    expect(second.headers.location).toBe(first.headers.location)
    expect(await club.db.member.count({ where: { name: 'Nell' } })).toBe(1)
    expect((await officer.get(String(first.headers.location))).body).toContain('Nell')
  })

  test('with an address that somebody has is refused at the field, what was typed stays', async () => {
    const before = await club.db.member.count()
    const answer = await officer.post('/members/new', { ...fields, name: 'Ned', email: 'BERT@example.org ' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Bert has this address already')
    expect(shown(answer.body, 'name')).toBe('Ned')
    expect(await club.db.member.count()).toBe(before)
  })

  test('without a name is refused', async () => {
    const answer = await officer.post('/members/new', { ...fields, name: ' ', email: '' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Name: fill this in')
  })

  test('is not for a builder to add', async () => expect((await builder.post('/members/new', fields)).statusCode).toBe(403))
})

describe('an entry', () => {
  test('changed by somebody else meanwhile is refused with both values in sight', async () => {
    const { id } = await club.make.member(['builder'], { name: 'Stan', email: 'stan@example.org' })
    const page = await officer.get(`/members/${id}`)
    const version = shown(page.body, 'version') ?? ''
    const sent = { name: 'Stanley', email: 'stan@example.org', phone: '', roles: ['builder'], isActive: 'on', note: '', version }
    expect((await officer.post(`/members/${id}`, sent)).statusCode).toBe(303)
    const stale = await officer.post(`/members/${id}`, { ...sent, name: 'Stan the Tall' })
    expect(stale.statusCode).toBe(409)
    expect(shown(stale.body, 'name')).toBe('Stan the Tall')
    expect(stale.body).toMatch(/Stored meanwhile: <b>Stanley<\/b>/)
    expect((await club.db.member.findUniqueOrThrow({ where: { id } })).name).toBe('Stanley')
    // Sent again from the page that shows both, it goes in.
    expect((await officer.post(`/members/${id}`, { ...sent, name: 'Stan the Tall', version: shown(stale.body, 'version') ?? '' })).statusCode).toBe(303)
  })

  test('of the last officer keeps the role and stays active', async () => {
    const version = (await club.db.member.findUniqueOrThrow({ where: { id: officer.memberId } })).version
    const sent = { name: 'Olga', email: 'olga@example.org', phone: '', roles: ['builder'], isActive: 'on', note: '', version }
    const answer = await officer.post(`/members/${officer.memberId}`, sent)
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Olga is the last officer who can sign in')
    expect((await officer.post(`/members/${officer.memberId}`, { ...sent, roles: ['officer'], isActive: '' })).statusCode).toBe(422)
    // An officer without a password is no help: nobody could let anyone in.
    await club.make.member(['officer'])
    expect((await officer.post(`/members/${officer.memberId}`, sent)).statusCode).toBe(422)
    const other = await club.signedIn(['officer'])
    expect((await officer.post(`/members/${officer.memberId}`, sent)).statusCode).toBe(303)
    // And back, for the tests below.
    await other.post(`/members/${officer.memberId}`, { ...sent, roles: ['officer'], version: version + 1 })
    expect((await club.db.member.findUniqueOrThrow({ where: { id: officer.memberId } })).roles).toEqual(['officer'])
  })

  test('of two officers who take each other’s role at once, one keeps it', async () => {
    await club.db.member.updateMany({ where: { id: { not: officer.memberId } }, data: { roles: ['builder'] } })
    const second = await club.signedIn(['officer'], { name: 'Ove' })
    const take = async (from: { memberId: string }) => {
      const row = await club.db.member.findUniqueOrThrow({ where: { id: from.memberId } })
      return { name: row.name, email: row.email ?? '', phone: '', roles: ['builder'], isActive: 'on', note: '', version: row.version }
    }
    const sent = [await take(second), await take(officer)] as const
    await club.db.signInUser.updateMany({ where: { memberId: officer.memberId }, data: { email: 'olga@example.org' } })
    const answers = await Promise.all([officer.post(`/members/${second.memberId}`, { ...sent[0], email: `${second.memberId}@example.org` }), second.post(`/members/${officer.memberId}`, sent[1])])
    expect(answers.map((a) => a.statusCode).sort()).toEqual([303, 422])
    expect(await club.db.member.count({ where: { roles: { has: 'officer' } } })).toBe(1)
    await club.db.member.update({ where: { id: officer.memberId }, data: { roles: ['officer'] } })
  })

  test('of somebody who left signs them out and leaves them out of planning', async () => {
    const gone = await club.signedIn(['builder'], { name: 'Gone' })
    const row = await club.db.member.findUniqueOrThrow({ where: { id: gone.memberId } })
    await officer.post(`/members/${gone.memberId}`, { name: 'Gone', email: `${gone.memberId}@example.org`, phone: '', roles: ['builder'], note: '', version: row.version })
    expect((await gone.get('/members')).statusCode).toBe(303)
    const { loadPeople } = await import('../../../src/features/members/public.ts')
    expect((await loadPeople(club.db)).map((p) => p.name)).not.toContain('Gone')
  })
})

describe('an invitation', () => {
  test('is shown once, lets its member in once, with a password of their own', async () => {
    const { id } = await club.make.member(['builder'], { name: 'Iris' })
    const made = await officer.post(`/members/${id}/invite`)
    const flash = made.cookies.find((c) => c.name === 'garboard_flash')?.value ?? ''
    const path = /\/invite\/\S+$/.exec(Buffer.from(flash, 'base64url').toString())?.[0] ?? ''
    expect((await club.signedOut.get(path)).body).toContain('Welcome, Iris')
    const short = await club.signedOut.post(path, { email: 'iris@example.org', password: 'short', again: 'short' })
    expect([short.statusCode, short.body.includes('At least 10 characters')]).toEqual([422, true])
    const other = await club.signedOut.post(path, { email: 'iris@example.org', password: 'long enough it is', again: 'something else' })
    expect([other.statusCode, other.body.includes('The two are not the same')]).toEqual([422, true])
    const typed = { email: 'iris@example.org', password: 'long enough it is', again: 'long enough it is' }
    const taken = await club.signedOut.post(path, typed)
    expect(taken.statusCode).toBe(303)
    expect(taken.cookies.some((c) => c.name === 'garboard_sign_in')).toBe(true)
    expect((await club.signedOut.get(path)).statusCode).toBe(404)
    expect((await club.signedOut.post(path, typed)).statusCode).toBe(404)
    expect((await club.signedOut.post('/sign-in', { email: 'iris@example.org', password: 'long enough it is', then: '/members' })).headers.location).toBe('/members')
  })

  test('of a newer date ends the one before', async () => {
    const { id } = await club.make.member(['builder'])
    const links = []
    for (let i = 0; i < 2; i++) {
      const made = await officer.post(`/members/${id}/invite`)
      links.push(/\/invite\/\S+$/.exec(Buffer.from(made.cookies.find((c) => c.name === 'garboard_flash')?.value ?? '', 'base64url').toString())?.[0] ?? '')
    }
    expect((await club.signedOut.get(links[0]!)).statusCode).toBe(404)
    expect((await club.signedOut.get(links[1]!)).statusCode).toBe(200)
  })
})

describe('signing in', () => {
  test('with a wrong password says so and keeps the address', async () => {
    const answer = await club.signedOut.post('/sign-in', { email: 'someone@example.org', password: 'not this one', then: '' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('E-mail or password is not right')
    expect(shown(answer.body, 'email')).toBe('someone@example.org')
    expect(answer.body).not.toContain('not this one')
  })

  test('never leads to another site', async () => {
    const person = await club.signedIn()
    const { email } = await club.db.signInUser.findUniqueOrThrow({ where: { memberId: person.memberId } })
    for (const then of ['https://elsewhere.example', '//elsewhere.example', '/\\elsewhere.example']) {
      expect((await club.signedOut.post('/sign-in', { email, password: PASSWORD, then })).headers.location).toBe('/')
    }
  })

  test('ends with signing out', async () => {
    const person = await club.signedIn()
    expect((await person.get('/me')).statusCode).toBe(200)
    expect((await person.post('/sign-out')).statusCode).toBe(303)
    expect((await person.get('/me')).statusCode).toBe(303)
  })
})

describe('my own page', () => {
  test('changes the password when the one so far is right, and signs out other devices', async () => {
    const me = await club.signedIn()
    const other = await club.as(me.memberId)
    const wrong = await me.post('/me/password', { current: 'no idea', password: 'a new and longer one', again: 'a new and longer one' })
    expect([wrong.statusCode, wrong.body.includes('This is not your password so far')]).toEqual([422, true])
    const right = await me.post('/me/password', { current: PASSWORD, password: 'a new and longer one', again: 'a new and longer one' })
    expect(right.statusCode).toBe(303)
    expect((await other.get('/me')).statusCode).toBe(303)
  })

  test('gives my data as a file, and nobody else’s', async () => {
    const me = await club.signedIn(['helper'], { name: 'Mine', phone: '0123' })
    const data = (await me.get('/me/data')).json<{ name: string; phone: string }>()
    expect(data).toMatchObject({ name: 'Mine', phone: '0123' })
    expect(JSON.stringify(data)).not.toContain('passwordHash')
  })

  test('shows a telephone number to officers, not to other builders', async () => {
    const { id } = await club.make.member(['builder'], { phone: '0555 12' })
    expect((await officer.get(`/members/${id}`)).body).toContain('0555 12')
    expect((await builder.get(`/members/${id}`)).body).not.toContain('0555 12')
  })
})
