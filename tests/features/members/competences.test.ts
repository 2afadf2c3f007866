import { describe, expect, test } from 'vitest'
import { yearsOn } from '../../../src/features/members/commands/competences.ts'
import { loadPeople } from '../../../src/features/members/public.ts'
import { testClub } from '../../support/app.ts'
import { at } from '../../support/zones.ts'
import { members } from './feature.ts'

// Club zone: Europe/Berlin; today is Saturday, 30 May 2026.
const club = await testClub({ features: [members] })
const officer = await club.signedIn(['officer'])
const { id: memberId } = await club.make.member(['builder'], { name: 'Ann' })
const { id: bandsaw } = await club.db.competence.create({ data: { name: 'Bandsaw', refreshYears: 3 } })
const held = () => club.db.memberCompetence.findUnique({ where: { memberId_competenceId: { memberId, competenceId: bandsaw } } })

describe('a check', () => {
  test('is good for the years of its competence, to the end of that day in the club’s zone', async () => {
    const answer = await officer.post(`/members/${memberId}/competences`, { competenceId: bandsaw, level: 'full', checkedOn: '2026-01-15', refreshOn: '' })
    expect(answer.statusCode).toBe(303)
    const ann = (await loadPeople(club.db)).find((p) => p.id === memberId)
    // 15 January 2029 ends at 00:00 on the 16th in Berlin, winter time: 23:00 UTC on the 15th.
    expect(ann?.competences).toEqual([{ competenceId: bandsaw, level: 'full', until: at('2029-01-15T23:00Z') }])
  })

  test('with a date of its own ends then, in summer time', async () => {
    await officer.post(`/members/${memberId}/competences`, { competenceId: bandsaw, level: 'supervised', checkedOn: '2026-01-15', refreshOn: '2026-07-31' })
    const ann = (await loadPeople(club.db)).find((p) => p.id === memberId)
    expect(ann?.competences).toEqual([{ competenceId: bandsaw, level: 'supervised', until: at('2026-07-31T22:00Z') }])
  })

  test.each([
    ['in the future', { checkedOn: '2026-05-31', refreshOn: '' }, 'The check can’t be later than today'],
    ['that ends before it was made', { checkedOn: '2026-05-01', refreshOn: '2026-04-30' }, 'It can’t end before it was checked'],
    ['on no day', { checkedOn: '2026-02-30', refreshOn: '' }, 'Write the date as 2026-06-30'],
  ])('%s is refused at its field', async (_name, dates, message) => {
    const before = await held()
    const answer = await officer.post(`/members/${memberId}/competences`, { competenceId: bandsaw, level: 'full', ...dates })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain(message)
    expect(answer.body).toContain(`value="${dates.checkedOn}"`)
    expect(await held()).toEqual(before)
  })

  test('can be taken off', async () => {
    expect((await officer.post(`/members/${memberId}/competences/${bandsaw}/remove`)).statusCode).toBe(303)
    expect(await held()).toBeNull()
  })

  test('of 29 February is good until 28 February in a year without', () => {
    expect(yearsOn('2028-02-29', 1)).toBe('2029-02-28')
    expect(yearsOn('2028-02-29', 4)).toBe('2032-02-29')
    expect(yearsOn('2026-12-31', 1)).toBe('2027-12-31')
  })
})

describe('the list of competences', () => {
  test('has each name once, in whatever letters', async () => {
    const answer = await officer.post('/competences', { name: 'bandsaw', note: '', refreshYears: '' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('There is a competence “bandsaw” already')
    expect(await club.db.competence.count()).toBe(1)
  })

  test('refuses years that are no number, and keeps what was typed', async () => {
    const answer = await officer.post('/competences', { name: 'Router', note: '', refreshYears: 'three' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('value="three"')
  })

  test('keeps one that a tool asks for', async () => {
    await club.make.tool({ name: 'Big saw', competenceId: bandsaw })
    const answer = await officer.post(`/competences/${bandsaw}`, { name: 'Bandsaw', note: '', refreshYears: '3' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Big saw asks for it')
    expect((await club.db.competence.findUniqueOrThrow({ where: { id: bandsaw } })).isActive).toBe(true)
  })
})
