/** What a forecast says to a week review, in words that stay. Pure. */
import type { CatchUp } from '../../../../core/forecast/types.ts'
import { movedWords, rangeWords, type ReviewWords } from '../../../../../views/reviews/review-words.ts'
import { chanceWords, partWords, spanWords, toldParts } from '../../../../../views/shared/forecast-words.ts'
import { hours } from '../../../../../views/shared/times.ts'
import type { ForecastModel } from '../../../planning/public.ts'
import type { ForecastBrief } from '../../model.ts'

export function forecastBrief(f: ForecastModel, w: ReviewWords): ForecastBrief {
  const movedMin = f.step?.minutes ?? null
  const range = rangeWords(f, w)
  const target = f.targetOn === null || f.targetChance === null ? '' : `; her target, ${w.day(f.targetOn)}, has ${chanceWords(f.targetChance)}`
  return {
    p50: f.p50, p80: f.p80, targetOn: f.targetOn, targetChance: f.targetChance, movedMin,
    words: `${range}${movedMin === null ? '' : `, ${movedWords(movedMin)}`}${target}`,
    why: f.step === null ? [] : toldParts(f.step).map((p) => `${spanWords(p.minutes)} ${p.minutes > 0 ? 'later' : 'sooner'}: ${partWords(p)}`),
    makeUp: [...catchUpWords(f.catchUp.half, 'an even', w), ...catchUpWords(f.catchUp.fourInFive, 'a four in five', w)],
  }
}

/** What would make the target; nothing to say where there is none. */
function catchUpWords(c: CatchUp | null, chance: string, w: ReviewWords): string[] {
  if (c === null) return []
  const day = w.dayAt(c.target - 1)
  if (c.extraPerWeek === null) return [`as it is, ${day} has ${chance} chance`]
  const also = [...(c.helper === true ? ['one more helper'] : []), ...(typeof c.warmer === 'number' ? [`a shop ${Math.ceil(c.warmer)} °C warmer`] : [])]
  const or = also.length === 0 ? '' : `; ${also.join(' or ')} would do it too`
  if (typeof c.extraPerWeek === 'number') return [`${hours(c.extraPerWeek)} a week more give ${day} ${chance} chance${or}`]
  if (also.length > 0) return [`no hours alone give ${day} ${chance} chance, but ${also.join(' or ')} would`]
  return [`nothing of this gives ${day} ${chance} chance${c.binds === null ? '' : `: ${bindWords(c.binds)}`}`]
}

const BINDS: Readonly<Record<string, string>> = {
  work: 'the work itself', people: 'people’s time', cure: 'curing', cold: 'the cold', tool: 'a tool', delivery: 'a delivery', competence: 'somebody who may do it', place: 'a place', date: 'a date',
}
const bindWords = ({ cause, what }: NonNullable<CatchUp['binds']>): string => `most of the way waits for ${BINDS[cause] ?? cause}${what === null ? '' : ` (${what})`}`
