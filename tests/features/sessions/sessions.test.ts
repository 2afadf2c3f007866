import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { testClub, type Person } from '../../support/app.ts'

// A Saturday, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
let keyholder: Person & { memberId: string }
let builder: Person & { memberId: string }

beforeAll(async () => {
  keyholder = await club.signedIn(['keyholder'], { name: 'Kees' })
  builder = await club.signedIn(['builder'], { name: 'Bram' })
})

const day = (iso: string) => new Date(`${iso}T00:00:00Z`)
const newSite = async () => (await club.make.site()).id
const form = (siteId: string, over: Record<string, string> = {}) => ({
  siteId, date: '2026-06-06', starts: '10:00', ends: '16:00', keyholderId: keyholder.memberId, title: '', note: '', repeat: 'once', everyWeeks: '1', untilOn: '', ...over,
})
const sessionsOf = (siteId: string) => club.db.session.findMany({ where: { siteId }, orderBy: { date: 'asc' } })
const one = async (siteId: string, over: Record<string, unknown> = {}) =>
  club.db.session.create({ data: { siteId, date: day('2026-06-06'), starts: '10:00', ends: '16:00', keyholderId: keyholder.memberId, ...over } })

describe('entering', () => {
  test('one session; the list shows it with its keyholder', async () => {
    const siteId = await newSite()
    expect((await keyholder.post('/sessions/new', form(siteId, { title: 'Glass day' }))).statusCode).toBe(303)
    expect(await sessionsOf(siteId)).toMatchObject([{ date: day('2026-06-06'), starts: '10:00', ends: '16:00', title: 'Glass day', seriesId: null, keyholderId: keyholder.memberId }])
    const list = await builder.get('/sessions')
    expect(list.body).toContain('Glass day')
    expect(list.body).toContain('key: Kees')
  })

  test('one that ends before it begins is refused, the typed times stay, nothing is entered', async () => {
    const siteId = await newSite()
    const answer = await keyholder.post('/sessions/new', form(siteId, { starts: '16:00', ends: '10:00' }))
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Ends 10:00: that is not after 16:00')
    expect(answer.body).toMatch(/name="starts"[^>]*value="16:00"/)
    expect(answer.body).toMatch(/name="ends"[^>]*value="10:00"/)
    expect(await sessionsOf(siteId)).toEqual([])
  })

  test('00:00 as its end is the midnight of that day', async () => {
    const siteId = await newSite()
    expect((await keyholder.post('/sessions/new', form(siteId, { starts: '18:00', ends: '00:00' }))).statusCode).toBe(303)
    expect(await sessionsOf(siteId)).toMatchObject([{ starts: '18:00', ends: '24:00' }])
  })

  test('two sessions of one site can’t overlap; another site, touching hours and a called-off one may', async () => {
    const siteId = await newSite()
    await one(siteId, { title: 'Saturday' })
    const answer = await keyholder.post('/sessions/new', form(siteId, { starts: '15:00', ends: '18:00' }))
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('overlaps the session of Sat 6 June 10:00–16:00 (Saturday)')
    expect(await sessionsOf(siteId)).toHaveLength(1)
    expect((await keyholder.post('/sessions/new', form(siteId, { starts: '16:00', ends: '18:00' }))).statusCode).toBe(303)
    expect((await keyholder.post('/sessions/new', form(await newSite()))).statusCode).toBe(303)
    await club.db.session.updateMany({ where: { siteId, starts: '10:00' }, data: { state: 'cancelled' } })
    expect((await keyholder.post('/sessions/new', form(siteId))).statusCode).toBe(303)
  })

  test('two people who enter the same hours at once: one is told', async () => {
    const siteId = await newSite()
    const other = await club.signedIn(['officer'])
    const answers = await Promise.all([keyholder.post('/sessions/new', form(siteId)), other.post('/sessions/new', form(siteId))])
    expect(answers.map((a) => a.statusCode).sort()).toEqual([303, 422])
    expect(await sessionsOf(siteId)).toHaveLength(1)
  })

  test('the keyholder must be keyholder or officer', async () => {
    const siteId = await newSite()
    const answer = await keyholder.post('/sessions/new', form(siteId, { keyholderId: builder.memberId }))
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Bram has neither the role of keyholder nor of officer')
    expect(await sessionsOf(siteId)).toEqual([])
  })

  test('a session that is over already, a day that does not exist and a builder who enters one are refused', async () => {
    const siteId = await newSite()
    expect((await keyholder.post('/sessions/new', form(siteId, { date: '2026-05-29' }))).body).toContain('would be over already')
    expect((await keyholder.post('/sessions/new', form(siteId, { date: '2026-02-30' }))).body).toContain('write the date as')
    expect((await builder.post('/sessions/new', form(siteId))).statusCode).toBe(403)
    expect(await sessionsOf(siteId)).toEqual([])
  })

  test('the same form sent twice enters it once', async () => {
    const siteId = await newSite()
    const sent = { ...form(siteId), once: randomUUID() }
    const [a, b] = await Promise.all([keyholder.post('/sessions/new', sent), keyholder.post('/sessions/new', sent)])
    expect([a.statusCode, b.statusCode]).toEqual([303, 303])
    expect(await sessionsOf(siteId)).toHaveLength(1)
  })
})

describe('the list', () => {
  test('shows the last sessions too, with the one that nobody closed out', async () => {
    const siteId = await newSite()
    const open = await one(siteId, { date: day('2026-05-28'), title: 'Thursday glass' })
    const closed = await one(siteId, { date: day('2026-05-27'), title: 'Wednesday paint', state: 'closed' })
    const list = (await keyholder.get('/sessions')).body
    expect(list).toContain(`href="/sessions/${open.id}/close-out"`)
    expect(list).toContain(`href="/sessions/${closed.id}"`)
    expect(list).not.toContain(`href="/sessions/${closed.id}/close-out"`)
    expect((await builder.get('/sessions')).body).not.toContain('/close-out"')
  })

  test('asks for more where a series that goes on is nearly used up', async () => {
    const siteId = await newSite()
    const series = { siteId, weekday: 2, starts: '19:00', ends: '21:00', fromOn: day('2026-05-05') }
    await club.db.series.create({ data: { ...series, name: 'Tuesdays', untilOn: day('2026-06-16') } })
    await club.db.series.create({ data: { ...series, name: 'Long Tuesdays', untilOn: day('2026-09-01') } })
    const list = (await keyholder.get('/sessions')).body
    expect(list).toContain('Tuesdays is entered only until Tue, 16 Jun 2026')
    expect(list).not.toContain('Long Tuesdays is entered only')
  })
})

describe('a weekly series', () => {
  const weekly = (siteId: string, over: Record<string, string> = {}) => form(siteId, { repeat: 'weekly', untilOn: '2026-06-27', goesOn: 'on', ...over })
  const seriesOf = async (siteId: string) => club.db.series.findMany({ where: { siteId }, orderBy: { fromOn: 'asc' } })

  test('enters every week up to its date, and goes on after it', async () => {
    const siteId = await newSite()
    expect((await keyholder.post('/sessions/new', weekly(siteId))).statusCode).toBe(303)
    expect((await sessionsOf(siteId)).map((s) => s.date)).toEqual(['2026-06-06', '2026-06-13', '2026-06-20', '2026-06-27'].map(day))
    expect(await seriesOf(siteId)).toMatchObject([{ name: 'Saturday', weekday: 6, everyWeeks: 1, goesOn: true }])
  })

  test('a date that is taken stops it, or is left out where that is ticked', async () => {
    const siteId = await newSite()
    await one(siteId, { date: day('2026-06-13'), starts: '14:00', ends: '18:00' })
    const refused = await keyholder.post('/sessions/new', weekly(siteId))
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Sat 13 June 14:00–18:00')
    expect(await seriesOf(siteId)).toEqual([])
    expect((await keyholder.post('/sessions/new', weekly(siteId, { skipTaken: 'on' }))).statusCode).toBe(303)
    expect((await sessionsOf(siteId)).filter((s) => s.seriesId).map((s) => s.date)).toEqual(['2026-06-06', '2026-06-20', '2026-06-27'].map(day))
  })

  test('no end, an end before its beginning and more than can be entered at once are refused', async () => {
    const siteId = await newSite()
    expect((await keyholder.post('/sessions/new', weekly(siteId, { untilOn: '' }))).body).toContain('say up to when sessions are entered')
    expect((await keyholder.post('/sessions/new', weekly(siteId, { untilOn: '2026-06-05' }))).body).toContain('before the first session')
    // 60 sessions from 6 June 2026 end on 24 July 2027; the 61st would be on the 31st.
    expect((await keyholder.post('/sessions/new', weekly(siteId, { untilOn: '2027-07-31' }))).body).toContain('at most 60 sessions')
    expect(await seriesOf(siteId)).toEqual([])
    expect((await keyholder.post('/sessions/new', weekly(siteId, { untilOn: '2027-07-30' }))).statusCode).toBe(303)
    expect(await sessionsOf(siteId)).toHaveLength(60)
  })

  /** Saturdays 6 to 27 June; the 13th ends earlier by itself, the 20th is called off; Bram answered for the 27th. */
  async function started() {
    const siteId = await newSite()
    await keyholder.post('/sessions/new', weekly(siteId))
    const sessions = await sessionsOf(siteId)
    await club.db.session.update({ where: { id: sessions[1]!.id }, data: { ends: '13:00' } })
    await club.db.session.update({ where: { id: sessions[2]!.id }, data: { state: 'cancelled' } })
    await builder.post(`/sessions/${sessions[3]!.id}/answer`, { answer: 'coming' })
    const [series] = await seriesOf(siteId)
    const change = (over: Record<string, string> = {}) => ({
      name: 'Saturday', fromOn: '2026-06-13', weekday: '6', starts: '10:00', ends: '16:00', everyWeeks: '1', keyholderId: keyholder.memberId, untilOn: '2026-07-04', goesOn: 'on', version: String(series!.version), ...over,
    })
    return { siteId, sessions, series: series!, change, url: `/sessions/series/${series!.id}` }
  }

  test('changed from a date on: earlier ones stay, exceptions stay, answers for the same day stay', async () => {
    const { siteId, sessions, change, url } = await started()
    const answer = await keyholder.post(url, change({ starts: '09:00', ends: '15:00' }))
    expect(answer.statusCode).toBe(303)
    const after = await sessionsOf(siteId)
    expect(after.map((s) => [s.date.toISOString().slice(0, 10), s.starts, s.ends, s.state])).toEqual([
      ['2026-06-06', '10:00', '16:00', 'planned'],
      ['2026-06-13', '10:00', '13:00', 'planned'],
      ['2026-06-20', '10:00', '16:00', 'cancelled'],
      ['2026-06-27', '09:00', '15:00', 'planned'],
      ['2026-07-04', '09:00', '15:00', 'planned'],
    ])
    expect(after[3]!.id).toBe(sessions[3]!.id)
    expect(await club.db.attendance.count({ where: { sessionId: sessions[3]!.id, answer: 'coming' } })).toBe(1)
    // The old rhythm ends, the new one goes on.
    expect(await seriesOf(siteId)).toMatchObject([{ starts: '10:00', goesOn: false }, { starts: '09:00', goesOn: true }])
  })

  test('moved to another weekday, answers for the old day are cleared', async () => {
    const { siteId, sessions, change, url } = await started()
    expect((await keyholder.post(url, change({ fromOn: '2026-06-22', weekday: '7' }))).statusCode).toBe(303)
    const after = await sessionsOf(siteId)
    expect(after.map((s) => s.date.toISOString().slice(0, 10))).toEqual(['2026-06-06', '2026-06-13', '2026-06-20', '2026-06-28'])
    expect(await club.db.attendance.count({ where: { sessionId: sessions[3]!.id } })).toBe(0)
  })

  test('another keyholder from a date on keeps the series and needs the role', async () => {
    const { siteId, change, url } = await started()
    expect((await keyholder.post(url, change({ keyholderId: builder.memberId }))).body).toContain('neither the role of keyholder nor of officer')
    const second = await club.make.member(['keyholder'])
    expect((await keyholder.post(url, change({ keyholderId: second.id }))).statusCode).toBe(303)
    expect(await seriesOf(siteId)).toHaveLength(1)
    expect((await sessionsOf(siteId)).map((s) => s.keyholderId === second.id)).toEqual([false, false, false, true, true])
  })

  test('whoever took the key of one session keeps it; its hours change with the others', async () => {
    const { siteId, sessions, change, url } = await started()
    const second = await club.signedIn(['keyholder'])
    await second.post(`/sessions/${sessions[3]!.id}/key`, { key: 'take' })
    expect((await keyholder.post(url, change({ starts: '09:00' }))).statusCode).toBe(303)
    expect((await sessionsOf(siteId)).slice(3).map((s) => [s.starts, s.keyholderId])).toEqual([['09:00', second.memberId], ['09:00', keyholder.memberId]])
  })

  test('a stale page is refused with both values, a past date too', async () => {
    const { siteId, change, url } = await started()
    expect((await keyholder.post(url, change({ starts: '09:30' }))).statusCode).toBe(303)
    const before = await sessionsOf(siteId)
    const stale = await keyholder.post(url, change({ starts: '08:00' }))
    expect(stale.statusCode).toBe(409)
    expect(stale.body).toMatch(/name="starts"[^>]*value="08:00"/)
    expect(stale.body).toContain('Stored meanwhile: <b>10:00</b>')
    expect((await keyholder.post(url, change({ fromOn: '2026-05-01', version: '2' }))).body).toContain('past sessions stay as they were')
    expect(await sessionsOf(siteId)).toEqual(before)
  })

  test('ended from a date on: later sessions go, none is assumed', async () => {
    const { siteId, series, url } = await started()
    expect((await keyholder.post(`${url}/end`, { fromOn: '2026-06-14', version: series.version })).statusCode).toBe(303)
    expect((await sessionsOf(siteId)).map((s) => s.date.toISOString().slice(0, 10))).toEqual(['2026-06-06', '2026-06-13'])
    expect(await seriesOf(siteId)).toMatchObject([{ goesOn: false, untilOn: day('2026-06-13') }])
  })

  test('its page shows what is coming and which are exceptions', async () => {
    const { url } = await started()
    const page = await builder.get(url)
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('called off')
    expect(page.body).toContain('changed by itself')
    expect(page.body).not.toContain('Save from that date on')
    expect((await keyholder.get(url)).body).toContain('Save from that date on')
  })
})

describe('one session', () => {
  const edit = (siteId: string, over: Record<string, string> = {}) => ({ siteId, date: '2026-06-06', starts: '10:00', ends: '16:00', keyholderId: keyholder.memberId, title: '', note: '', version: '1', ...over })

  test('changed: its hours only; on another day the answers are cleared', async () => {
    const siteId = await newSite()
    const row = await one(siteId)
    await builder.post(`/sessions/${row.id}/answer`, { answer: 'coming' })
    expect((await keyholder.post(`/sessions/${row.id}/edit`, edit(siteId, { ends: '18:00' }))).statusCode).toBe(303)
    expect(await club.db.attendance.count({ where: { sessionId: row.id } })).toBe(1)
    expect((await keyholder.post(`/sessions/${row.id}/edit`, edit(siteId, { date: '2026-06-07', version: '2' }))).statusCode).toBe(303)
    expect(await club.db.session.findUniqueOrThrow({ where: { id: row.id } })).toMatchObject({ date: day('2026-06-07'), ends: '16:00', version: 3 })
    expect(await club.db.attendance.count({ where: { sessionId: row.id } })).toBe(0)
  })

  test('a stale edit is refused and shows both values', async () => {
    const siteId = await newSite()
    const row = await one(siteId)
    await keyholder.post(`/sessions/${row.id}/edit`, edit(siteId, { title: 'Glass' }))
    const stale = await keyholder.post(`/sessions/${row.id}/edit`, edit(siteId, { title: 'Paint' }))
    expect(stale.statusCode).toBe(409)
    expect(stale.body).toMatch(/name="title"[^>]*value="Paint"/)
    expect(stale.body).toContain('Stored meanwhile: <b>Glass</b>')
    expect((await club.db.session.findUniqueOrThrow({ where: { id: row.id } })).title).toBe('Glass')
  })

  test('called off and on again; the others of its series stay', async () => {
    const siteId = await newSite()
    const row = await one(siteId)
    expect((await keyholder.post(`/sessions/${row.id}/cancel`, { version: '1', note: 'Storm' })).statusCode).toBe(303)
    const page = await builder.get(`/sessions/${row.id}`)
    expect(page.body).toContain('Called off')
    expect(page.body).toContain('Storm')
    expect((await builder.post(`/sessions/${row.id}/answer`, { answer: 'coming' })).statusCode).toBe(422)
    // Its hours are free meanwhile; once taken, it can't come back.
    const other = await one(siteId, { starts: '12:00', ends: '13:00' })
    expect((await keyholder.post(`/sessions/${row.id}/restore`, { version: '2' })).body).toContain('Sat 6 June 12:00–13:00')
    await club.db.session.delete({ where: { id: other.id } })
    expect((await keyholder.post(`/sessions/${row.id}/restore`, { version: '2' })).statusCode).toBe(303)
    expect((await club.db.session.findUniqueOrThrow({ where: { id: row.id } })).state).toBe('planned')
  })

  test('a closed one is changed no more', async () => {
    const siteId = await newSite()
    const row = await one(siteId, { state: 'closed', date: day('2026-05-23') })
    expect((await keyholder.post(`/sessions/${row.id}/edit`, edit(siteId))).statusCode).toBe(422)
    expect((await keyholder.post(`/sessions/${row.id}/cancel`, { version: '1', note: '' })).body).toContain('it took place')
    expect((await club.db.session.findUniqueOrThrow({ where: { id: row.id } })).version).toBe(1)
  })
})
