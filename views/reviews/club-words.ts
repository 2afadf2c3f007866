/** Lines of the club sheet. Everything names what would help; nobody is named. */
import type { ClashLine, ClubLine, HandsLine, NextWork, SkillLine, SnagStop, StoreLine, WindowLine } from '../../src/features/reviews/club/model.ts'
import { format, hours, type PageClub, type TimeWords } from '../shared/index.ts'

const DAY = 1440
/** Noon of a day lies within it in every zone. */
export const noon = (day: string): number => Date.parse(`${day}T12:00:00Z`) / 60_000

/** "6 of 9 h meant" */
export function hoursWords({ meantMin, doneMin, state }: ClubLine, kind: 'past' | 'now' | 'ahead'): string {
  if (kind === 'ahead') return meantMin === null ? (state === 'paused' ? 'she rests' : '–') : `${hours(meantMin)} meant`
  if (meantMin === null) return state === 'paused' && doneMin === 0 ? 'she rests' : `${hours(doneMin)} done`
  if (meantMin === 0) return doneMin === 0 ? 'nothing meant' : `${hours(doneMin)}, nothing meant`
  return `${hours(doneMin).replace(/ h$/, '')} of ${hours(meantMin)} meant`
}

const WEEK = 7 * DAY
/** "a week later", "3 days earlier"; null where it hardly moved. */
export function movedWords(minutes: number | null): string | null {
  if (minutes === null || Math.abs(minutes) < 2 * DAY) return null
  const [n, unit] = Math.abs(minutes) >= WEEK * 0.9 ? [Math.round(Math.abs(minutes) / WEEK), 'week'] : [Math.round(Math.abs(minutes) / DAY), 'day']
  return `${n === 1 ? `a ${unit}` : `${n} ${unit}s`} ${minutes > 0 ? 'later' : 'earlier'} than the week before`
}

/** "even chance by 12 Jun, four in five by 3 Jul; wanted by 20 Jun (6 in 10)" */
export function launchWords(times: TimeWords, { launch, plannedLaunch, state }: ClubLine): string {
  if (state === 'launched') return 'launched'
  if (state === 'paused') return 'nobody can say while she rests'
  if (launch === null) return plannedLaunch === null ? 'no date yet' : `as planned ${times.date(plannedLaunch)}`
  const { p50, p80, targetOn, targetChance, movedMin } = launch
  if (p50 === null) return 'later than can be foreseen'
  const range = `even chance by ${times.date(p50)}, ${p80 === null ? 'how late it may get can’t be foreseen' : `four in five by ${times.date(p80)}`}`
  const wanted = targetOn === null ? '' : `; wanted by ${times.date(noon(targetOn))}${targetChance === null ? '' : ` (${chanceWords(targetChance)})`}`
  const moved = movedWords(movedMin)
  return `${range}${wanted}${moved === null ? '' : `; ${moved}`}`
}

function chanceWords(chance: number): string {
  const n = Math.round(chance * 10)
  return n <= 0 ? 'hardly a chance' : n >= 10 ? 'as good as sure' : `${n} chances in 10`
}

/** "Sat: fill coat"; where sessions are only assumed, the week. */
export const nextWords = (times: TimeWords, { name, start, isWash, projected }: NextWork): string =>
  `${projected ? times.week(start) : times.day(Math.max(start, times.now))}: ${isWash ? `wash and sand before ${name}` : name}`

export function handsWords(times: TimeWords, { task, need, start, said, most }: HandsLine): string {
  if (start === null) return `${task} takes ${need} at once, and never more than ${most ?? 0} are there together: ask around, or set a day`
  return `${task}, ${times.day(start)}, takes ${need} at once; ${said === 0 ? 'nobody has said yet that they come' : `${said} ${said === 1 ? 'has' : 'have'} said so far that they come`}`
}

export const skillWords = ({ task, competence }: SkillLine): string => `${task} waits for somebody who is checked for ${competence}`

export function clashWords(times: TimeWords, { task, start, other, otherTask, what, name, until }: ClashLine): string {
  const whose = other === null ? 'another build' : other
  const by = otherTask === null || other === null ? whose : `${whose} (${otherTask})`
  const till = until === null ? '' : until === start ? ' until then' : ` until ${times.dayTime(until)}`
  const work = `${task}, ${times.dayTime(start)}, waits for`
  switch (what) {
    case 'tool': return `${work} the ${name ?? 'tool'}: ${by} has it${till}`
    case 'bay': return `${work} a bay in ${name ?? 'the shed'}: ${by} stands there${till}`
    case 'place': return `${work} room in ${name ?? 'the shed'}: ${by} is there${till}`
    case 'dust': return `${work} ${by}${name === null ? '' : ` in ${name}`}: dust and a wet film don’t go together`
    case 'people': return `${work} people who are at work on ${by}`
  }
}

export function windowWords(times: TimeWords, { task, opens, closes, start, why }: WindowLine): string {
  const shuts = closes === null ? '' : `, shuts ${times.dayTime(closes)}`
  const span = `${opens <= times.now ? 'open now' : `opens ${times.dayTime(opens)}`}${shuts}`
  switch (why) {
    case 'met': return `${task}: ${span}; planned for ${start === null ? 'then' : times.dayTime(start)}`
    case 'nobody': return `${task}: ${span}; nobody is there, so it is washed and sanded first`
    case 'none': return `${task}: the film would be too hard before it is ready, so it is washed and sanded first`
    case 'let-go': return `${task}: ${span}; other work goes first, so it is washed and sanded before`
  }
}

export function storeWords(times: TimeWords, club: PageClub | null, { name, unit, buyMilli, orderBy, isLate, runOut }: StoreLine): string {
  const much = (milli: number) => format.stockNeed(milli, unit, club)
  const out = runOut === null ? null : `${runOut.at <= times.now ? 'short now' : `runs out ${times.day(runOut.at)}`}, ${much(runOut.missingMilli)} missing for ${runOut.task ?? 'work on another build'}`
  const order = buyMilli <= 0 ? null : `order ${much(buyMilli)} ${isLate || orderBy === null ? 'now' : `by ${times.day(noon(orderBy))}`}`
  return `${name}: ${[out, order].filter((part) => part !== null).join('; ')}`
}

export const snagWords = ({ no, what, whereAt, bad }: SnagStop): string =>
  `no. ${no}, ${what}${whereAt === '' ? '' : `, ${whereAt}`}: ${bad === 'stop' ? 'nothing goes on until it is mended' : 'to be mended before what comes over it'}`
