import { expect, test } from 'vitest'
import { draftReview } from '../../../src/features/reviews/public.ts'
import { slipOf, type SlipFacts, type WeekFacts } from '../../../src/features/reviews/week/facts/slips.ts'
import { useLines } from '../../../src/features/reviews/week/facts/used.ts'
import { testClub } from '../../support/app.ts'
import { day } from '../planning/club.ts'
import { EVENING, local, MONDAY, SATURDAY, skuaWeek } from './week-club.ts'

const facts: SlipFacts = {
  line: { key: 't', name: 'Fit the seats', craft: 'wood', meantMin: 120, workedMin: 0, start: 0, came: 'none' }, leftBefore: 120, leftAfter: 120, day: '2026-05-30', pause: null, isCalledOff: false, missed: null, before: [],
  there: null, wanted: [], tools: [], outside: null,
}
const week: WeekFacts = { workedMin: 60, unmeant: [], day: (iso) => iso, hours: (min) => `${min} min` }
const told = (over: Partial<SlipFacts>, of: Partial<WeekFacts> = {}) => {
  const { cause, detail } = slipOf({ ...facts, ...over }, { ...week, ...of })
  return `${cause}: ${detail}`
}

test('each cause is told from what the books show; what shuts work out comes before what makes it slow', () => {
  expect(told({ pause: { from: '2026-05-28' }, tools: [{ tool: 'Router', why: '' }] })).toBe('pause: she rests since 2026-05-28')
  expect(told({ tools: [{ tool: 'Router', why: 'lent out' }], there: { meant: 2, came: 1 } })).toBe('tool: Router: lent out')
  expect(told({ outside: { words: '8 °C, and it wants 10 °C or more in the hall' } })).toBe('weather: 8 °C, and it wants 10 °C or more in the hall')
  expect(told({ isCalledOff: true })).toBe('fewer-hands: the session was called off')
  expect(told({ there: { meant: 3, came: 1 } })).toBe('fewer-hands: 1 of 3 was there')
  expect(told({ there: { meant: 3, came: 2 }, before: ['Cut the seats'] })).toBe('other: Cut the seats comes first')
  expect(told({ there: { meant: 2, came: 2 } }, { unmeant: [{ name: 'Mend', workedMin: 45, snagNo: 4 }, { name: 'Tidy', workedMin: 15, snagNo: null }] })).toBe('rework: 45 min went into a fault (no. 4)')
  expect(told({}, { unmeant: [{ name: 'Tidy', workedMin: 15, snagNo: null }] })).toBe('other: 15 min went into Tidy')
  expect(told({}, { workedMin: 0 })).toBe('fewer-hands: nobody logged an hour on her')
  expect(told({})).toBe('null: ')
  const wanted = { item: 'Ply', wantMilli: 2000, thereMilli: 500, order: null }
  expect(told({ wanted: [wanted] })).toBe('waiting: there was not enough Ply, and none was on order')
  expect(told({ wanted: [{ ...wanted, order: { expectedOn: '2026-05-20', arrivedOn: '2026-06-02' } }] })).toBe('waiting: Ply, expected by 2026-05-20, came on 2026-06-02')
  // Enough is on the shelf: a late order of more explains nothing.
  expect(told({ wanted: [{ ...wanted, thereMilli: 2000, order: { expectedOn: '2026-05-20', arrivedOn: null } }] })).toBe('null: ')
})

test('what was drawn is over above its range, under below it once all is finished, and going until then', () => {
  const entry = { itemId: 'i', item: 'Resin', unit: 'g', taskId: 't', task: 'Coat', lot: 7, milli: 100_000, inWeek: true }
  const is = (milli: number, finished: boolean, need: { low: number; likely: number; high: number } | null = { low: 80_000, likely: 100_000, high: 150_000 }) =>
    useLines([{ ...entry, milli }], () => need, () => finished)[0]?.is
  expect([is(151_000, false), is(150_000, true), is(80_000, true), is(79_000, true), is(79_000, false), is(79_000, true, null)]).toEqual(['over', 'as', 'as', 'under', 'going', 'no-estimate'])
  // An exact amount is told as met within a tenth of it: 91 and 110 of 100, not 89 or 111.
  const exact = { low: 100_000, likely: 100_000, high: 100_000 }
  expect([is(91_000, true, exact), is(110_000, true, exact), is(89_000, true, exact), is(111_000, true, exact)]).toEqual(['as', 'as', 'under', 'over'])
  // 60 g before and 50 g this week of one task; nothing this week: not in it.
  expect(useLines([{ ...entry, milli: 60_000, inWeek: false }, { ...entry, milli: 50_000 }], () => exact, () => true)).toMatchObject([{ milli: 50_000, soFar: 110_000, is: 'as' }])
  expect(useLines([{ ...entry, inWeek: false }], () => exact, () => true)).toEqual([])
})

const club = await testClub({ now: EVENING.toISOString() })
const skua = await skuaWeek(club)

test('a tool that is away, air that is too cold and a session that was called off are read from their own rows', async () => {
  const { db } = club
  const { build, ann, ben, place } = skua
  const router = await club.make.tool({ name: 'Router' })
  await db.toolOutage.create({ data: { toolId: router.id, fromOn: day('2026-05-29'), toOn: day('2026-05-31'), why: 'being mended' } })
  const routed = await skua.task('Rout the slots')
  await db.taskTool.create({ data: { taskId: routed.id, toolId: router.id } })
  // The epoxy wants 10 °C; at 09:30 it was 8 °C, at noon, further from 10:00, 14 °C.
  const cold = await skua.coat('Seal the stem')
  await db.placeReading.createMany({ data: [{ placeId: place.id, at: local(SATURDAY, '09:30'), air: 8 }, { placeId: place.id, at: local(SATURDAY, '12:30'), air: 14 }] })
  const off = await skua.session('2026-05-27', '18:00', '21:00')
  await db.session.update({ where: { id: off.id }, data: { state: 'cancelled' } })
  const evening = await skua.task('Turn the pins')
  const meant = [skua.piece(routed, SATURDAY, '10:00', '11:00', [ann]), skua.piece(cold, SATURDAY, '10:00', '11:00', [ben]), skua.piece(evening, '2026-05-27', '19:00', '20:00', [ann])]
  await db.buildWeek.updateMany({ where: { buildId: build.id }, data: { meant } })
  const { slips } = await draftReview(db, build.id, MONDAY, EVENING)
  expect(slips.map((s) => [s.name, s.cause, s.detail])).toEqual([
    ['Rout the slots', 'tool', 'Router: being mended'],
    ['Seal the stem', 'weather', '8 °C at Sat 30 May 09:30, and it wants 10 °C or more in Main floor'],
    ['Turn the pins', 'fewer-hands', 'the session was called off'],
  ])
})
