import { beforeEach, describe, expect, test } from 'vitest'
import { comingSessions } from '../../../src/features/sessions/public.ts'
import { testClub } from '../../support/app.ts'
import { at } from '../../support/zones.ts'
import { members } from './feature.ts'

const club = await testClub({ features: [members] })
const officer = await club.signedIn(['officer'], { name: 'Olga' })
const others = [await club.signedIn(['builder']), await club.signedIn(['keyholder']), await club.signedIn(['helper'])]

const row = () => club.db.club.findUniqueOrThrow({ where: { id: 1 } })
const requests = () => club.db.planRequest.count({ where: { cause: 'The club’s settings changed' } })
/** What the page shows in a field. */
const shown = (html: string, name: string) => new RegExp(`name="${name}"[^>]*value="([^"]*)"`).exec(html)?.[1]
const chosen = (html: string, name: string) => new RegExp(`<select[^>]*name="${name}".*?<option value="([^"]*)" selected`, 's').exec(html)?.[1]

const start = await row()
const typed = {
  name: 'Tern Boat Club', zone: 'America/Halifax', locale: 'en-CA', units: 'metric', currency: 'CAD', missedWindowDays: '5', surfaceOffset: '−1,5', countUsual: 'on', planSchedules: '300', shownIn: 'metric', version: '1',
}

beforeEach(async () => {
  await club.db.club.update({ where: { id: 1 }, data: start })
})

describe('the club’s settings', () => {
  test('are changed, noted, and planned for anew', async () => {
    const before = await requests()
    const answer = await officer.post('/club', typed)
    expect([answer.statusCode, answer.headers.location]).toEqual([303, '/club'])
    expect(await row()).toMatchObject({
      name: 'Tern Boat Club', zone: 'America/Halifax', locale: 'en-CA', units: 'metric', currency: 'CAD', missedWindowDays: 5, surfaceOffset: -1.5, countUsual: true, planSchedules: 300, version: 2,
    })
    expect(await requests()).toBe(before + 1)
    const noted = await club.db.auditRow.findFirstOrThrow({ where: { entity: 'club' }, orderBy: { id: 'desc' } })
    expect(noted).toMatchObject({ memberId: officer.memberId, before: { zone: 'Europe/Berlin', missedWindowDays: 3 }, after: { zone: 'America/Halifax', missedWindowDays: 5 } })
    const page = await officer.get('/club')
    expect([shown(page.body, 'name'), chosen(page.body, 'zone'), shown(page.body, 'missedWindowDays'), shown(page.body, 'surfaceOffset')]).toEqual(['Tern Boat Club', 'America/Halifax', '5', '-1.5'])
    expect(page.body).toContain('Sessions keep their local times')
  })

  test('leave the local times of sessions as they are when the zone changes', async () => {
    const { id: siteId } = await club.make.site()
    await club.db.session.create({ data: { siteId, date: new Date('2026-06-06'), starts: '10:00', ends: '16:00' } })
    const begins = async () => (await comingSessions(club.db, club.clock.now(), 1)).map((s) => [s.date, s.starts, s.start])
    // Summer time: Berlin is UTC+2, Halifax UTC-3.
    expect(await begins()).toEqual([['2026-06-06', '10:00', at('2026-06-06T08:00Z')]])
    await officer.post('/club', typed)
    expect(await begins()).toEqual([['2026-06-06', '10:00', at('2026-06-06T13:00Z')]])
  })

  test.each([
    ['a zone that isn’t one', 'zone', 'Mars/Olympus', 'Time zone: choose from the list, such as Europe/Berlin'],
    ['a bare offset', 'zone', '+02:00', 'Time zone: choose from the list, such as Europe/Berlin'],
    ['days below nothing', 'missedWindowDays', '-1', 'What a missed window costs: a whole number from 0 to 60, not “-1”'],
    ['days that are no number', 'missedWindowDays', 'abc', 'What a missed window costs: a whole number from 0 to 60, not “abc”'],
    ['half days', 'missedWindowDays', '1.5', 'What a missed window costs: a whole number from 0 to 60, not “1.5”'],
    ['no days', 'missedWindowDays', ' ', 'What a missed window costs: fill this in'],
    ['a surface far from the air', 'surfaceOffset', '40', 'Surface against air: a number from -10 to 10 °C, not “40”'],
    ['no schedules', 'planSchedules', '0', 'How long the planner tries: a whole number from 1 to 5000, not “0”'],
    ['no name', 'name', '', 'Name of the club: fill this in'],
    ['a language that isn’t offered', 'locale', 'xx', 'Dates: choose from the list'],
    ['an unknown currency', 'currency', 'XXQ', 'Currency: choose from the list'],
    ['unknown units', 'units', 'cubits', 'Units: choose one'],
  ])('refuse %s at its field and keep what was typed', async (_name, field, value, message) => {
    const [before, asked] = [await row(), await requests()]
    const answer = await officer.post('/club', { ...typed, name: 'Typed already', [field]: value })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain(`<p class="field-error" id="${/<a href="#(f[^"]+)"/.exec(answer.body)?.[1]}-error">${message}</p>`)
    expect(shown(answer.body, 'name')).toBe(field === 'name' ? undefined : 'Typed already')
    if (['missedWindowDays', 'surfaceOffset', 'planSchedules'].includes(field)) expect(shown(answer.body, field)).toBe(value)
    expect([await row(), await requests()]).toEqual([before, asked])
  })

  test('changed by somebody else meanwhile are refused with both values in sight, then go in', async () => {
    await officer.post('/club', { ...typed, zone: 'Europe/Oslo', missedWindowDays: '7', countUsual: '' })
    const stale = await officer.post('/club', { ...typed, name: 'Mine' })
    expect(stale.statusCode).toBe(409)
    expect(shown(stale.body, 'name')).toBe('Mine')
    for (const stored of ['Tern Boat Club', 'Europe/Oslo', '7', 'not ticked']) expect(stale.body).toContain(`Stored meanwhile: <b>${stored}</b>`)
    expect(stale.body.match(/Stored meanwhile/g)).toHaveLength(4 + 1) // and −1,5, which is stored as -1.5
    expect(await row()).toMatchObject({ name: 'Tern Boat Club', missedWindowDays: 7, countUsual: false, version: 2 })
    expect((await officer.post('/club', { ...typed, name: 'Mine', version: shown(stale.body, 'version') ?? '' })).statusCode).toBe(303)
    expect(await row()).toMatchObject({ name: 'Mine', missedWindowDays: 5, version: 3 })
  })

  test('of two officers who save at once, one is told', async () => {
    const second = await club.signedIn(['officer'])
    const answers = await Promise.all([officer.post('/club', { ...typed, name: 'One' }), second.post('/club', { ...typed, name: 'Two' })])
    expect(answers.map((a) => a.statusCode).sort()).toEqual([303, 409])
    expect((await row()).version).toBe(2)
  })

  test('are saved once, however often the form is sent', async () => {
    const [once, before] = [club.make.once(), await requests()]
    const answers = [await officer.post('/club', { ...typed, once }), await officer.post('/club', { ...typed, once })]
    expect(answers.map((a) => [a.statusCode, a.headers.location])).toEqual([[303, '/club'], [303, '/club']])
    expect((await row()).version).toBe(2)
    expect(await requests()).toBe(before + 1)
  })

  test('are for officers', async () => {
    for (const person of others) {
      expect((await person.get('/club')).statusCode).toBe(403)
      expect((await person.post('/club', typed)).statusCode).toBe(403)
      for (const page of ['/members', '/me']) expect((await person.get(page)).body).not.toContain('href="/club"')
    }
    expect(await row()).toEqual(start)
    for (const page of ['/members', '/me']) expect((await officer.get(page)).body).toContain('href="/club"')
  })

  test('take a temperature in the units that stood beside it, whichever are chosen with it', async () => {
    // A difference: 3.6 °F / 1.8 = 2 °C, no 32 in it.
    await officer.post('/club', { ...typed, units: 'imperial', surfaceOffset: '-2' })
    expect(await row()).toMatchObject({ units: 'imperial', surfaceOffset: -2 })
    const page = await officer.get('/club')
    expect([shown(page.body, 'surfaceOffset'), shown(page.body, 'shownIn')]).toEqual(['-3.6', 'imperial'])
    const wrong = await officer.post('/club', { ...typed, shownIn: 'imperial', surfaceOffset: '19', version: '2' })
    expect(wrong.body).toContain('Surface against air: a number from -18 to 18 °F, not “19”')
    await officer.post('/club', { ...typed, units: 'metric', shownIn: 'imperial', surfaceOffset: '-1.8', version: '2' })
    expect((await row()).surfaceOffset).toBeCloseTo(-1, 12)
  })

  test('show a stored zone that the list gives under another name', async () => {
    await club.db.club.update({ where: { id: 1 }, data: { zone: 'UTC' } })
    expect(chosen((await officer.get('/club')).body, 'zone')).toBe('UTC')
  })
})
