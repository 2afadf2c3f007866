import { beforeEach, describe, expect, test } from 'vitest'
import { draftReview, reviewOf, signedReviews } from '../../../src/features/reviews/public.ts'
import { testClub } from '../../support/app.ts'
import { day, textOf } from '../planning/club.ts'
import { EVENING, local, MONDAY, SATURDAY, skuaWeek, SUNDAY } from './week-club.ts'

const club = await testClub({ now: EVENING.toISOString() })
const { db } = club
const week = await skuaWeek(club)
const { build, ann, ben } = week
const [annIn, benIn, officer, stranger, keeper] = [await club.as(ann.id), await club.as(ben.id), await club.signedIn(['officer']), await club.signedIn(['builder']), await club.signedIn(['storekeeper'])]
const at = (monday: string, buildId = build.id) => `/builds/${buildId}/reviews/${monday}`
const WORDS = { version: 0, do: 'save', headline: '', next: '', lessons: '' }
const rowOf = (monday: string) => db.weekReview.findUnique({ where: { buildId_monday: { buildId: build.id, monday: day(monday) } } })
/** A page without what differs by the moment it was asked for. */
const sheetOf = (html: string) => textOf(/<article[\s\S]*<\/article>/.exec(html)?.[0] ?? 'no sheet')

beforeEach(async () => {
  club.clock.set(EVENING)
})

describe('what may not be signed is refused with a reason, and changes nothing', () => {
  test('a week that has not ended, until its last session is closed out', async () => {
    club.clock.set(local(SATURDAY, '20:00'))
    const early = await annIn.post(at(MONDAY), { ...WORDS, do: 'sign', headline: 'Rails on' })
    expect(early.statusCode).toBe(422)
    expect(textOf(early.body)).toContain('Week 22 ends on Sun 31 May: sign it from that evening on, or as soon as its last session is closed out.')
    expect(early.body).toContain('value="Rails on"')
    expect(await rowOf(MONDAY)).toBeNull()
    // On Sunday at 16:00 both sessions are over; closed out is none of them, then both.
    club.clock.set(local(SUNDAY, '16:00'))
    expect((await annIn.post(at(MONDAY), { ...WORDS, do: 'sign' })).statusCode).toBe(422)
    for (const { id } of [week.saturday, week.sunday]) await db.closeOut.create({ data: { sessionId: id, closedBy: ann.id, closedAt: local(SUNDAY, '15:30'), shedLocked: true, wasteSafe: true } })
    expect(textOf((await annIn.get(at(MONDAY))).body)).toContain('Save and sign')
    await db.closeOut.deleteMany()
    expect(textOf((await annIn.get(at(MONDAY))).body)).not.toContain('Save and sign')
  })

  test('next week, and weeks before she was started', async () => {
    for (const how of ['sign', 'save']) {
      const next = await annIn.post(at('2026-06-01'), { ...WORDS, do: how })
      expect([next.statusCode, textOf(next.body)]).toEqual([422, expect.stringContaining('Week 23 has not begun: it can be reviewed from Mon 1 Jun on')])
    }
    expect(textOf((await annIn.get(at('2026-06-01'))).body)).toContain('Week 23 has not begun')
    const before = await annIn.post(at('2026-04-20'), { ...WORDS, do: 'sign' })
    expect([before.statusCode, textOf(before.body)]).toEqual([422, expect.stringContaining('Skua was started on Fri 1 May: no week before that can be reviewed.')])
    expect(await db.weekReview.count()).toBe(0)
  })

  test('words that don’t fit, a fifth photo, no words of one’s own: each message at its field', async () => {
    const slip = week.deck.id
    const sent = { ...WORDS, headline: 'x'.repeat(301), slip: [slip], [`cause-${slip}`]: 'own', [`words-${slip}`]: '', choose: 'yes', photos: Array.from({ length: 5 }, () => club.make.once()) }
    const page = await annIn.post(at(MONDAY), sent)
    expect(page.statusCode).toBe(422)
    const text = textOf(page.body)
    for (const said of ['The week in a sentence: at most 300 characters, not 301', 'In your own words: write them here, or choose another cause', 'At most 4 photos fit on the page: leave 1 out']) expect(text).toContain(said)
    expect(await rowOf(MONDAY)).toBeNull()
  })

  test('by whom it is not the boat: members read, her builders and keyholders and officers write, a team’s own boat is nobody else’s', async () => {
    for (const who of [stranger, keeper]) {
      expect((await who.get(at(MONDAY))).statusCode).toBe(200)
      expect((await who.get(at(MONDAY))).body).not.toContain('name="headline"')
      expect((await who.post(at(MONDAY), WORDS)).statusCode).toBe(403)
    }
    expect((await club.signedOut.get(at(MONDAY))).headers.location).toContain('/sign-in')
    const secret = await club.make.build({ name: 'Dunlin', visibility: 'team', startedOn: day('2026-05-01') }, [ben.id])
    for (const path of [at(MONDAY, secret.id), `/builds/${secret.id}/reviews`]) {
      expect((await annIn.get(path)).statusCode).toBe(404)
      expect((await benIn.get(path)).statusCode).toBe(200)
    }
    expect((await annIn.post(at(MONDAY, secret.id), WORDS)).statusCode).toBe(404)
  })
})

describe('a draft', () => {
  test('keeps what people chose and wrote; who comes later with an older page is told what is stored', async () => {
    const [deck, sand] = [week.deck.id, week.sand.id]
    const saved = await annIn.post(at(MONDAY), {
      ...WORDS, headline: 'Rails on, and she has a sheer line', next: 'Bring clamps', lessons: 'Dry-fit first', slip: [deck, sand], [`cause-${deck}`]: '', [`words-${deck}`]: '', [`cause-${sand}`]: 'tool',
      [`words-${sand}`]: 'the good sander was lent out',
    })
    expect([saved.statusCode, saved.headers.location]).toEqual([303, at(MONDAY)])
    expect((await rowOf(MONDAY))?.edits).toEqual({ headline: 'Rails on, and she has a sheer line', next: 'Bring clamps', lessons: 'Dry-fit first', photos: null, slips: { [sand]: { cause: 'tool', words: 'the good sander was lent out' } } })
    const page = textOf((await benIn.get(at(MONDAY))).body)
    for (const said of ['A draft, saved by Ann', 'Rails on, and she has a sheer line', 'Sand the inside : a tool was missing: the good sander was lent out', 'Cut the deck : waiting for something to come: Ply 6 mm', 'Bring clamps', 'Dry-fit first']) expect(page).toContain(said)
    // Ben opened the page before Ann saved hers.
    const stale = await benIn.post(at(MONDAY), { ...WORDS, headline: 'Ben was here' })
    expect(stale.statusCode).toBe(409)
    expect(textOf(stale.body)).toContain('Stored meanwhile: Rails on, and she has a sheer line')
    expect(stale.body).toContain('value="Ben was here"')
    expect((await rowOf(MONDAY))?.version).toBe(1)
    // The page that said so has the version of now: sent again, his stands.
    const again = /name="version" value="(\d+)"/.exec(stale.body)?.[1]
    expect((await benIn.post(at(MONDAY), { ...WORDS, version: again!, headline: 'Ben was here' })).statusCode).toBe(303)
    expect((await rowOf(MONDAY))?.edits).toMatchObject({ headline: 'Ben was here' })
  })

  test('two who begin at once: one is saved, the other is told', async () => {
    const monday = '2026-05-18'
    const answers = await Promise.all([annIn, benIn, officer].map((who, i) => who.post(at(monday), { ...WORDS, headline: `No. ${i}` })))
    expect(answers.map((a) => a.statusCode).sort()).toEqual([303, 409, 409])
    expect((await rowOf(monday))?.version).toBe(1)
  })
})

test('signed, it stays what it was whatever changes, for the database too; what turns out later goes into the log', async () => {
  const photo = async (caption: string, on: string) => {
    const file = () => db.storedFile.create({ data: { type: 'image/jpeg', bytes: Buffer.from([1]), createdAt: local(on, '12:00') }, select: { id: true } })
    const [whole, small] = [await file(), await file()]
    return db.photo.create({ data: { buildId: build.id, fileId: whole.id, smallId: small.id, width: 800, height: 600, caption, takenOn: day(on), byId: ann.id, loggedAt: local(on, '12:00') } })
  }
  const [old, middle, newest] = [await photo('Rails dry', '2026-05-29'), await photo('Rails glued', SATURDAY), await photo('Her sheer', SUNDAY)]
  await db.logEntry.create({ data: { buildId: build.id, kind: 'lesson', text: 'Clamp from the middle', at: local(SATURDAY, '12:00'), byId: ben.id, loggedAt: local(SATURDAY, '12:00') } })
  // The newest two are chosen unless somebody says otherwise.
  expect((await reviewOf(db, build.id, MONDAY, EVENING))?.shown.photos.map((p) => p.caption)).toEqual(['Her sheer', 'Rails glued'])
  const { version } = (await rowOf(MONDAY))!
  const signed = await annIn.post(at(MONDAY), { ...WORDS, version, do: 'sign', headline: 'Rails on', choose: 'yes', photos: [newest.id, old.id] })
  expect(signed.statusCode, textOf(signed.body)).toBe(303)
  const before = await reviewOf(db, build.id, MONDAY, EVENING)
  const sheet = sheetOf((await benIn.get(at(MONDAY))).body)
  for (const said of ['Rails on', 'Signed by Ann on Sun 31 May 21:00', '€3.00 charged this week', 'Lesson: Clamp from the middle. (Ben)']) expect(sheet).toContain(said)
  expect(before?.shown.photos.map((p) => p.caption)).toEqual(['Her sheer', 'Rails dry'])

  // Names, hours, prices, goods, people, snags, links, the build itself: all otherwise now.
  await db.task.updateMany({ where: { buildId: build.id }, data: { name: 'Renamed', workLikelyMin: 999, workHighMin: 999, craft: 'finish', finishedAt: null } })
  await db.build.update({ where: { id: build.id }, data: { name: 'Heron', startedOn: day('2026-05-20'), massTargetG: 1 } })
  await db.member.update({ where: { id: ann.id }, data: { name: 'Anna' } })
  await db.item.update({ where: { id: week.resin.id }, data: { name: 'Other goods' } })
  await db.snag.updateMany({ data: { what: 'Nothing', closedOn: day(SUNDAY), closedBy: ann.id } })
  await db.link.updateMany({ data: { missedAt: null } })
  await db.buildWeek.updateMany({ data: { meant: [], plannedMin: 1, availableMin: 1 } })
  await db.logEntry.updateMany({ data: { text: 'Changed' } })
  await db.photo.update({ where: { id: old.id }, data: { caption: 'Changed' } })
  await week.work(week.tiller, SATURDAY, '17:00', 600, [ben])
  club.clock.set('2026-09-01T08:00:00Z')
  const after = await reviewOf(db, build.id, MONDAY, club.clock.now())
  // Who saved it last is read from the members; it is no part of what was signed.
  expect({ ...after, draftedBy: null }).toEqual({ ...before, draftedBy: null })
  expect(sheetOf((await benIn.get(at(MONDAY))).body)).toBe(sheet)
  expect(await signedReviews(db, build.id)).toEqual([{ monday: MONDAY, no: 5, signedAt: EVENING.getTime() / 60_000 }])
  // And the books do say otherwise now.
  expect((await draftReview(db, build.id, MONDAY, club.clock.now())).headline).not.toBe(before?.facts.headline)

  // A photo that is taken out for good is gone from it, and told so.
  await db.photo.delete({ where: { id: newest.id } })
  expect(textOf((await benIn.get(at(MONDAY))).body)).toContain('This photo was taken out since.')
  expect((await reviewOf(db, build.id, MONDAY, club.clock.now()))?.shown.photos.map((p) => [p.caption, p.isGone ?? false])).toEqual([['Her sheer', true], ['Rails dry', false]])
  expect(middle.caption).toBe('Rails glued')

  // Twice, or changed: refused, by the service and by the database.
  for (const how of ['sign', 'save']) {
    const twice = await officer.post(at(MONDAY), { ...WORDS, version: version + 1, do: how, headline: 'Better words' })
    expect([twice.statusCode, textOf(twice.body)]).toEqual([422, expect.stringContaining('This review was signed by Ann on Sun 31 May 21:00 and stays as it is. What it lacks can go into her log.')])
  }
  const id = (await rowOf(MONDAY))!.id
  for (const sql of [
    `update week_review set facts = '{}' where id = '${id}'`, `update week_review set edits = '{}' where id = '${id}'`, `update week_review set signed_by = '${ben.id}' where id = '${id}'`,
    `update week_review set state = 'draft', facts = null, signed_by = null, signed_at = null where id = '${id}'`, `delete from week_review where id = '${id}'`,
  ]) await expect(db.$executeRawUnsafe(sql), sql).rejects.toThrow(/keeps what was agreed or signed/)
  expect((await rowOf(MONDAY))?.state).toBe('signed')
})
