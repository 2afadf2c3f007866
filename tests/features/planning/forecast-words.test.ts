import { expect, test } from 'vitest'
import { attendanceWords, chanceWords, forecastSentence, paceWords, rangeWords, spanWords, stepWords } from '../../../views/shared/forecast-words.ts'
import { fanSays } from '../../../views/shared/charts/launch-fan.tsx'
import { timeWords } from '../../../views/shared/times.ts'

const times = timeWords({ zone: 'Europe/Berlin', locale: 'en-GB' }, new Date('2026-05-10T08:00:00Z'))
const noon = (date: string) => Date.parse(`${date}T10:00:00Z`) / 60_000
const DAY = 1440

test('the first sentence has the range, the target’s chance and why it moved', () => {
  const step = { minutes: 7 * DAY, parts: [
    { cause: 'fewer-hands', minutes: 5 * DAY, detail: '18 h worked, 24 h reckoned with' }, { cause: 'rework', minutes: 2 * DAY, detail: 'Fill the void in the keel fillet' },
    { cause: 'took-longer', minutes: 100, detail: '' }, { cause: 'added', minutes: 0, detail: '' }, { cause: 'plan', minutes: -100, detail: '' },
  ] }
  expect(forecastSentence(times, { p50: noon('2026-06-12'), p80: noon('2026-07-03'), targetOn: '2026-06-19', targetChance: 0.41, step })).toBe(
    'Even chance by Fri 12 Jun, four in five by Fri 3 Jul; her target, Fri 19 Jun, has 4 chances in 10. '
    + 'That is a week later than the week before: fewer hours came than reckoned with (5 days later), something has to be mended: Fill the void in the keel fillet (2 days later).')
  expect(forecastSentence(times, { p50: noon('2026-06-12'), p80: null, targetOn: null, targetChance: null, step: null })).toBe('Even chance by Fri 12 Jun, four in five not within two years.')
})

test('what evens out is told as evening out, and what went well as well as what did not', () => {
  const parts = [{ cause: 'took-longer', minutes: -3 * DAY, detail: '' }, { cause: 'plan', minutes: 3 * DAY, detail: '' }]
  expect(stepWords({ minutes: 0, parts })).toBe('no different from the week before, for it evens out: work went quicker than thought (3 days sooner), sessions, deliveries, windows and other builds (3 days later)')
  expect(stepWords({ minutes: 0, parts: [] })).toBe('no different from the week before')
})

test('no chance is called certain, and none impossible', () => {
  expect([0, 0.1, 0.5, 0.94, 1].map(chanceWords)).toEqual(['hardly any chance', '1 chance in 10', '5 chances in 10', '9 chances in 10', 'more than nine chances in ten'])
  expect([700, DAY, 7 * DAY, 10 * DAY, -14 * DAY, 40 * DAY].map(spanWords)).toEqual(['less than a day', '1 day', 'a week', '10 days', '2 weeks', '6 weeks'])
  expect(rangeWords(times, { p50: null, p80: null })).toBe('no even chance within two years')
})

test('pace and attendance say how much they are made from', () => {
  expect(paceWords({ craft: 'resin', factor: 1.21, low: 1.0, high: 1.5, count: 9, spread: 0.3 })).toBe('takes 1.2 times as long as estimated, from 9 tasks, fairly sure')
  expect(paceWords({ craft: 'wood', factor: 1.01, low: 0.62, high: 1.6, count: 0, spread: 0 })).toBe('takes as long as estimated, no task of hers finished yet, not sure yet')
  expect(attendanceWords({ mean: 0.78, sd: 0.1, weekSd: 0.2, follows: 0.3, weeks: 9 })).toBe('of hours meant, 78 % come, from 9 weeks')
})

test('the fan says where the even date went and whether the range narrowed', () => {
  const week = (monday: string, p50: string, p80: string) => ({ monday, p50: noon(p50), p80: noon(p80), step: null })
  expect(fanSays(times, 'Skua', [week('2026-04-27', '2026-06-12', '2026-07-10'), week('2026-05-04', '2026-06-19', '2026-07-03')], '2026-06-20')).toBe(
    'From week 18 to week 19 the date of even chance moved from 12 Jun to 19 Jun, and the range has narrowed. Her target is 20 Jun.')
  expect(fanSays(times, 'Skua', [], null)).toBe('No forecast of Skua was made yet.')
})
