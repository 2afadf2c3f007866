import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { testClub, type Person } from '../../support/app.ts'

// Saturday 6 June 2026, 08:00 in Berlin: two hours before the session.
const NOW = '2026-06-06T06:00:00Z'
const club = await testClub({ now: NOW })
let keyholder: Person & { memberId: string }
let builder: Person & { memberId: string }

beforeAll(async () => {
  keyholder = await club.signedIn(['keyholder'], { name: 'Kees' })
  builder = await club.signedIn(['builder'], { name: 'Bram' })
})
beforeEach(() => club.clock.set(NOW))

const day = (iso: string) => new Date(`${iso}T00:00:00Z`)
/** 10:00 to 16:00 at a site of its own. */
const session = async (over: Record<string, unknown> = {}) =>
  club.db.session.create({ data: { siteId: (await club.make.site()).id, date: day('2026-06-06'), starts: '10:00', ends: '16:00', keyholderId: keyholder.memberId, ...over } })
const row = (sessionId: string, memberId: string) => club.db.attendance.findUnique({ where: { sessionId_memberId: { sessionId, memberId } } })

describe('answering', () => {
  test('one tap: I come, I don’t, take it back; each asks for a new plan in words', async () => {
    const s = await session()
    const url = `/sessions/${s.id}/answer`
    const answer = await builder.post(url, { answer: 'coming', back: 'list' })
    expect(answer.headers.location).toBe(`/sessions#s-${s.id}`)
    expect(await row(s.id, builder.memberId)).toMatchObject({ answer: 'coming', fromTime: null, toTime: null })
    expect(await club.db.planRequest.findFirst({ orderBy: { id: 'desc' } })).toMatchObject({ cause: 'Bram comes on Sat 6 June 10:00' })
    await builder.post(url, { answer: 'not_coming' })
    expect(await row(s.id, builder.memberId)).toMatchObject({ answer: 'not_coming' })
    await builder.post(url, { answer: 'clear' })
    expect(await row(s.id, builder.memberId)).toBeNull()
  })

  test('from when to when; the page says what counts', async () => {
    const s = await session()
    expect((await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming', fromTime: '11:00', toTime: '14:30' })).statusCode).toBe(303)
    expect((await builder.get(`/sessions/${s.id}`)).body.replace(/<[^>]+>/g, '')).toContain('You: comes, 11:00–14:30')
  })

  test('from after to, and times outside the session, are refused; what was typed stays', async () => {
    const s = await session()
    const url = `/sessions/${s.id}/answer`
    const turned = await builder.post(url, { answer: 'coming', fromTime: '14:00', toTime: '11:00' })
    expect(turned.statusCode).toBe(422)
    expect(turned.body).toContain('To 11:00: that is not after 14:00')
    expect(turned.body).toMatch(/name="fromTime"[^>]*value="14:00"/)
    const early = await builder.post(url, { answer: 'coming', fromTime: '09:00', toTime: '11:00' })
    expect(early.body).toContain('From 09:00: the session is 10:00–16:00')
    expect(await row(s.id, builder.memberId)).toBeNull()
  })

  test('a builder can’t answer for another, a keyholder can', async () => {
    const s = await session()
    const gus = await club.make.member(['helper'], { name: 'Gus' })
    expect((await builder.post(`/sessions/${s.id}/answer`, { memberId: gus.id, answer: 'coming' })).statusCode).toBe(403)
    expect(await row(s.id, gus.id)).toBeNull()
    expect((await keyholder.post(`/sessions/${s.id}/answer`, { memberId: gus.id, answer: 'coming' })).statusCode).toBe(303)
    expect(await row(s.id, gus.id)).toMatchObject({ answer: 'coming' })
  })

  test('no answer once it is over', async () => {
    const s = await session()
    club.clock.set('2026-06-06T14:00:00Z') // 16:00 in Berlin
    const late = await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming' })
    expect(late.statusCode).toBe(422)
    expect(late.body).toContain('is over')
    expect(await row(s.id, builder.memberId)).toBeNull()
  })

  test('the same tap sent twice is one answer and one request for a plan', async () => {
    const s = await session()
    const before = await club.db.planRequest.count()
    const sent = { answer: 'coming', once: randomUUID() }
    const answers = await Promise.all([builder.post(`/sessions/${s.id}/answer`, sent), builder.post(`/sessions/${s.id}/answer`, sent)])
    expect(answers.map((a) => a.statusCode)).toEqual([303, 303])
    expect(await club.db.planRequest.count()).toBe(before + 1)
  })
})

describe('the key', () => {
  test('without a keyholder nobody’s hours count, and the pages say so', async () => {
    const s = await session({ keyholderId: null })
    await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming' })
    const page = await builder.get(`/sessions/${s.id}`)
    expect(page.body).toContain('No keyholder is there: nobody’s hours count')
    expect(page.body.replace(/<[^>]+>/g, '')).toContain('comes, not counted: no keyholder')
    expect((await builder.get('/sessions')).body).toContain('no keyholder there: nobody’s hours count')
  })

  test('a keyholder takes it with one tap; then hours count; given back, they don’t', async () => {
    const s = await session({ keyholderId: null })
    await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming' })
    expect((await builder.post(`/sessions/${s.id}/key`, { key: 'take' })).statusCode).toBe(403)
    expect((await keyholder.post(`/sessions/${s.id}/key`, { key: 'take' })).statusCode).toBe(303)
    expect((await builder.get(`/sessions/${s.id}`)).body).not.toContain('No keyholder is there')
    expect((await keyholder.post(`/sessions/${s.id}/key`, { key: 'give-back' })).statusCode).toBe(303)
    expect((await builder.get(`/sessions/${s.id}`)).body).toContain('No keyholder is there')
  })

  test('who lost the role opens up no more, though the key is still in that name', async () => {
    const lost = await club.make.member(['keyholder'], { name: 'Lotte' })
    const s = await session({ keyholderId: lost.id })
    await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming' })
    expect((await builder.get(`/sessions/${s.id}`)).body).not.toContain('No keyholder is there')
    await club.db.member.update({ where: { id: lost.id }, data: { roles: ['builder'] } })
    expect((await builder.get(`/sessions/${s.id}`)).body).toContain('No keyholder is there')
  })

  test('a keyholder who doesn’t come leaves the others uncounted; one who leaves early, the rest of the day', async () => {
    const s = await session()
    await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming' })
    await keyholder.post(`/sessions/${s.id}/answer`, { answer: 'coming', toTime: '13:00' })
    const part = (await builder.get(`/sessions/${s.id}`)).body.replace(/<[^>]+>/g, '')
    expect(part).toContain('nobody is at 13:00–16:00')
    expect(part).toContain('You: comes, 10:00–13:00')
    await keyholder.post(`/sessions/${s.id}/answer`, { answer: 'not_coming' })
    expect((await builder.get(`/sessions/${s.id}`)).body).toContain('No keyholder is there: nobody’s hours count')
  })
})

describe('somebody under age', () => {
  test('is on the list with the caution, and not counted on', async () => {
    const s = await session({ date: day('2026-06-20'), title: 'Family day' })
    const freya = await club.make.member(['helper'], { name: 'Freya', isMinor: true })
    await keyholder.post(`/sessions/${s.id}/answer`, { memberId: freya.id, answer: 'coming' })
    expect((await keyholder.get(`/sessions/${s.id}`)).body).toContain('Freya is under age: never alone at machines')
    // The keyholder alone counts.
    const list = (await builder.get('/sessions')).body.replace(/<[^>]+>/g, ' ')
    expect(list.slice(list.indexOf('Family day'))).toMatch(/^Family day[^?]*?key: Kees · 1 person counted on/)
  })
})

describe('who is here', () => {
  test('ticked, left, back, and a slip of the finger', async () => {
    const s = await session()
    const url = `/sessions/${s.id}/here`
    const tick = (tick: string) => keyholder.post(url, { memberId: builder.memberId, tick })
    expect((await tick('here')).statusCode).toBe(303)
    expect(await row(s.id, builder.memberId)).toMatchObject({ cameAt: new Date(NOW), leftAt: null, answer: null })
    club.clock.moveMinutes(60)
    await tick('left')
    expect((await row(s.id, builder.memberId))!.leftAt).toEqual(new Date('2026-06-06T07:00:00Z'))
    await tick('back')
    expect((await row(s.id, builder.memberId))!.leftAt).toBeNull()
    await tick('not-here')
    expect(await row(s.id, builder.memberId)).toBeNull()
  })

  test('an answer stays when a tick is taken back', async () => {
    const s = await session()
    await builder.post(`/sessions/${s.id}/answer`, { answer: 'coming', fromTime: '11:00', toTime: '' })
    await keyholder.post(`/sessions/${s.id}/here`, { memberId: builder.memberId, tick: 'here' })
    await keyholder.post(`/sessions/${s.id}/here`, { memberId: builder.memberId, tick: 'not-here' })
    expect(await row(s.id, builder.memberId)).toMatchObject({ answer: 'coming', fromTime: '11:00', cameAt: null })
  })

  test('one ticks oneself; only a keyholder or an officer ticks others', async () => {
    const s = await session()
    expect((await builder.post(`/sessions/${s.id}/here`, { memberId: builder.memberId, tick: 'here' })).statusCode).toBe(303)
    expect((await builder.post(`/sessions/${s.id}/here`, { memberId: keyholder.memberId, tick: 'here' })).statusCode).toBe(403)
    expect(await row(s.id, keyholder.memberId)).toBeNull()
  })

  test('not on another day, nor when it is called off', async () => {
    const later = await session({ date: day('2026-06-13') })
    const answer = await keyholder.post(`/sessions/${later.id}/here`, { memberId: builder.memberId, tick: 'here' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('tick who is here on the day')
    const off = await session({ state: 'cancelled' })
    expect((await keyholder.post(`/sessions/${off.id}/here`, { memberId: builder.memberId, tick: 'here' })).body).toContain('is called off')
    expect(await club.db.attendance.count({ where: { sessionId: { in: [later.id, off.id] } } })).toBe(0)
  })

  test('a walk-in: a member, or a new name, who is on the list from then on', async () => {
    const s = await session()
    const ana = await club.make.member(['helper'], { name: 'Ana' })
    expect((await keyholder.post(`/sessions/${s.id}/walk-in`, { memberId: ana.id, newName: '' })).statusCode).toBe(303)
    expect(await row(s.id, ana.id)).toMatchObject({ walkIn: true, cameAt: new Date(NOW) })
    expect((await keyholder.post(`/sessions/${s.id}/walk-in`, { memberId: '', newName: 'Pim Vloed', isMinor: 'on' })).statusCode).toBe(303)
    const pim = await club.db.member.findFirstOrThrow({ where: { name: 'Pim Vloed' } })
    expect(pim).toMatchObject({ roles: ['helper'], email: null, isMinor: true })
    const page = await keyholder.get(`/sessions/${s.id}/here`)
    expect(page.body).toContain('Pim Vloed')
    expect(page.body).toContain('is under age: never alone at machines')
  })

  test('nobody named, both named, and a name that is there already are refused', async () => {
    const s = await session()
    const url = `/sessions/${s.id}/walk-in`
    const members = await club.db.member.count()
    expect((await keyholder.post(url, { memberId: '', newName: '' })).body).toContain('choose a member or write a name')
    expect((await keyholder.post(url, { memberId: builder.memberId, newName: 'Somebody' })).body).toContain('not both')
    const twice = await keyholder.post(url, { memberId: '', newName: 'bram' })
    expect(twice.statusCode).toBe(422)
    expect(twice.body).toContain('Bram is a member already')
    expect(twice.body).toMatch(/name="newName"[^>]*value="bram"/)
    expect((await builder.post(url, { memberId: '', newName: 'New One' })).statusCode).toBe(403)
    expect(await club.db.member.count()).toBe(members)
    expect(await club.db.attendance.count({ where: { sessionId: s.id } })).toBe(0)
  })

  test('a new name sent twice makes one person', async () => {
    const s = await session()
    const sent = { memberId: '', newName: 'Twice Only', once: randomUUID() }
    await Promise.all([keyholder.post(`/sessions/${s.id}/walk-in`, sent), keyholder.post(`/sessions/${s.id}/walk-in`, sent)])
    expect(await club.db.member.count({ where: { name: 'Twice Only' } })).toBe(1)
  })
})

describe('my times', () => {
  test('usual attendance counts for a session nobody answered', async () => {
    const s = await session()
    expect((await builder.post('/my-times/usual', { siteId: s.siteId, weekday: '6', fromTime: '12:00', toTime: '15:00' })).statusCode).toBe(303)
    expect((await builder.get(`/sessions/${s.id}`)).body.replace(/<[^>]+>/g, '')).toContain('You: not answered: counts as usual, 12:00–15:00')
    const [usual] = await club.db.usualAttendance.findMany({ where: { memberId: builder.memberId } })
    expect((await builder.post(`/my-times/usual/${usual!.id}/delete`)).statusCode).toBe(303)
    expect(await club.db.usualAttendance.count({ where: { memberId: builder.memberId } })).toBe(0)
  })

  test('from after to and hours that overlap are refused', async () => {
    const siteId = (await club.make.site()).id
    const usual = { siteId, weekday: '6', fromTime: '10:00', toTime: '14:00' }
    const turned = await builder.post('/my-times/usual', { ...usual, fromTime: '15:00' })
    expect(turned.statusCode).toBe(422)
    expect(turned.body).toContain('that is not after 15:00')
    expect(turned.body).toMatch(/name="fromTime"[^>]*value="15:00"/)
    expect((await builder.post('/my-times/usual', usual)).statusCode).toBe(303)
    expect((await builder.post('/my-times/usual', { ...usual, fromTime: '13:00', toTime: '16:00' })).body).toContain('overlaps Saturday 10:00–14:00')
    expect(await club.db.usualAttendance.count({ where: { siteId } })).toBe(1)
  })

  test('own hours at one’s home; not at the club’s, not until a day before they begin', async () => {
    expect((await builder.post('/my-times/home', { name: 'Bram’s garage' })).statusCode).toBe(303)
    const home = await club.db.site.findUniqueOrThrow({ where: { name: 'Bram’s garage' } })
    expect(home).toMatchObject({ kind: 'home', memberId: builder.memberId })
    const own = { siteId: home.id, weekday: '3', fromTime: '19:00', toTime: '21:00', fromOn: '2026-06-10', untilOn: '' }
    expect((await builder.post('/my-times/own-hours', { ...own, untilOn: '2026-06-09' })).body).toContain('before it begins')
    expect((await builder.post('/my-times/own-hours', { ...own, siteId: (await club.make.site()).id })).body).toContain('Own hours are for a home')
    expect(await club.db.ownHours.count({ where: { memberId: builder.memberId } })).toBe(0)
    expect((await builder.post('/my-times/own-hours', own)).statusCode).toBe(303)
    expect((await builder.post('/my-times/own-hours', { ...own, fromTime: '20:00', toTime: '22:00' })).body).toContain('overlaps Wednesday 19:00–21:00')
    expect(await club.db.ownHours.findMany({ where: { memberId: builder.memberId } })).toMatchObject([{ weekday: 3, fromOn: day('2026-06-10'), untilOn: null }])
  })

  test('an officer keeps the times of those without a sign-in; a builder can’t', async () => {
    const gus = await club.make.member(['helper'], { name: 'Gus Helper' })
    const officer = await club.signedIn(['officer'])
    const siteId = (await club.make.site()).id
    const usual = { siteId, weekday: '6', fromTime: '10:00', toTime: '14:00' }
    expect((await builder.post(`/members/${gus.id}/times/usual`, usual)).statusCode).toBe(403)
    expect((await officer.post(`/members/${gus.id}/times/usual`, usual)).statusCode).toBe(303)
    expect((await officer.get(`/members/${gus.id}/times`)).body).toContain('Times of Gus Helper')
    expect(await club.db.usualAttendance.count({ where: { memberId: gus.id } })).toBe(1)
  })

  test('nobody takes out another’s times through their own page', async () => {
    const siteId = (await club.make.site()).id
    const usual = await club.db.usualAttendance.create({ data: { memberId: keyholder.memberId, siteId, weekday: 6, fromTime: '10:00', toTime: '12:00' } })
    await builder.post(`/my-times/usual/${usual.id}/delete`)
    expect(await club.db.usualAttendance.count({ where: { id: usual.id } })).toBe(1)
  })
})
