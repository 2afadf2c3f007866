/** How far she is, in words: no index, no share of ticked tasks, and nobody's fault. */
import type { Extra, MakeGood, Progress } from '../../src/features/reviews/progress/model.ts'
import { format, hours, plural, sentence, type PageClub } from '../shared/index.ts'

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve']
const inWords = (n: number): string => NUMBERS[n] ?? String(n)

/** Less than this is the day of the week that one looks on. */
const ABOUT = 0.5

/** "two weeks behind the agreed plan", "a week ahead of the agreed plan", "where the agreed plan has her". */
export function behindWords(weeks: number): string {
  const n = Math.max(1, Math.round(Math.abs(weeks)))
  const long = n === 1 ? 'a week' : `${inWords(n)} weeks`
  if (Math.abs(weeks) < ABOUT) return 'where the agreed plan has her'
  return weeks > 0 ? `${long} behind the agreed plan` : `${long} ahead of the agreed plan`
}

/** "61 of 200 h" */
export const earnedWords = ({ earnedMin, totalMin }: Pick<Progress, 'earnedMin' | 'totalMin'>): string => `${hours(earnedMin).replace(/ h$/, '')} of ${hours(totalMin)}`

const isBehind = (p: Progress): boolean => p.weeksBehind !== null && p.weeksBehind >= ABOUT

/** "61 of 200 h earned, two weeks behind the agreed plan; 3 h a week more makes it good." */
export function progressSentence(p: Progress, makesGood: MakeGood): string {
  if (p.totalMin === 0) return 'There is no hands-on work in her tasks yet.'
  const done = `${earnedWords(p)} earned`
  if (p.weeksBehind === null) return sentence(`${done}; no plan is agreed yet to hold that against`)
  if (p.earnedMin >= p.totalMin) return sentence(`${done}: all that was agreed is done`)
  return sentence(`${done}, ${behindWords(p.weeksBehind)}${goodWords(makesGood, isBehind(p))}`)
}

function goodWords(makesGood: MakeGood, behind: boolean): string {
  if (!behind || makesGood === null) return ''
  return makesGood === 'not by hours' ? '; more hours alone do not make it good: her forecast says what holds her' : `; ${hours(makesGood.extraPerWeekMin)} a week more makes it good`
}

/** Common practice, with two published logs behind it: a stitched hull was 17 % and 26 % of all hours. */
export function shapeWords({ shape, share }: Pick<Progress, 'shape' | 'share'>, club: PageClub | null): string | null {
  if (shape === null || share >= 0.6) return null
  return `A hull that looks like a boat has a fifth to a quarter of its hours done. When she began to look like one, ${format.percent(shape.share, club)} of her work was done; today it is ${format.percent(share, club)}.`
}

export function moneyWords({ money, spentCents }: Progress, club: PageClub | null): string {
  const spent = `Material for ${format.wholeMoney(spentCents, club)} is charged to her so far`
  if (money === null) return `${spent}.`
  const off = money.spent - money.earned
  const small = Math.abs(off) < Math.max(100, money.earned * 0.05)
  const beside = small ? 'about what the work done was to take' : `${format.wholeMoney(Math.abs(off), club)} ${off > 0 ? 'more' : 'less'} than the work done was to take`
  return `${spent}, ${beside}. If the rest takes what was agreed, she comes to ${format.wholeMoney(money.atEnd, club)} of ${format.wholeMoney(money.budget, club)}.`
}

export function massWords({ mass: { targetG, likelyG, weighedG } }: Pick<Progress, 'mass'>, estimatedG: number | null, club: PageClub | null): string | null {
  const about = (g: number) => format.mass(Math.round(g / 100) * 100, club)
  const then = likelyG === null || (estimatedG !== null && about(likelyG) === about(estimatedG)) ? '' : `; when the plan was agreed it was ${about(likelyG)}`
  const parts = [
    estimatedG === null ? null : `by her estimate she comes to ${about(estimatedG)}${then}`,
    targetG === null ? null : `she is meant to weigh ${format.mass(targetG, club)}`,
    weighedG === null ? null : `last on the scales she had ${format.mass(weighedG, club)}`,
  ].filter((part) => part !== null)
  return parts.length === 0 ? null : sentence(parts.join('; '))
}

export function extraWords({ extraMin, extras, gone }: Pick<Progress, 'extraMin' | 'extras' | 'gone'>): string | null {
  const more = extras.length === 0 ? null : `${hours(extraMin)} of work (${plural(extras.length, 'task')}) came after the agreement: it counts as work left, and earns nothing until the plan is agreed anew`
  const less = gone.length === 0 ? null : `${plural(gone.length, 'task')} of the agreed plan, ${hours(gone.reduce((sum, g) => sum + g.minutes, 0))}, ${gone.length === 1 ? 'was' : 'were'} taken off since and ${gone.length === 1 ? 'is' : 'are'} left out here`
  return more === null && less === null ? null : [more, less].filter((part) => part !== null).map(sentence).join(' ')
}

export const EXTRA_WHY: Readonly<Record<Extra['why'], string>> = { added: 'added since', rework: 'done again, for a snag', wash: 'wash and sand, a window was missed' }

/** What the chart says. */
export function chartWords(p: Progress): string {
  const earned = `${earnedWords(p)} are earned so far`
  return p.plannedMin === null ? sentence(earned) : sentence(`${earned}; the agreed plan meant ${hours(p.plannedMin)} by now`)
}
