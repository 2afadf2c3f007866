import { coefficientAbout, coefficientAt, defaultCoefficients, ruleAbout, type CoefficientAbout } from '../../../core/estimate/index.ts'
import type { RuleKey } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Ends } from '../facts/figure-text.ts'
import { RULES } from '../facts/rule-keys.ts'
import { setFigures, type SetFigure } from './coefficients.ts'
import { loadLearned, type Learned } from './learned.ts'
import { visibleTo } from './visible.ts'

/** A figure with what is usual and, where the club set it, its own. */
export type FigureLine = { key: string; about: CoefficientAbout; usual: Ends; own: SetFigure | null }
export type RuleLine = { key: RuleKey; name: string; formula: string; source: string; figures: FigureLine[]; learned: Learned[] }

const line = (key: string, about: CoefficientAbout, own: ReadonlyMap<string, SetFigure>): FigureLine => ({
  key, about, own: own.get(key) ?? null, usual: coefficientAt(defaultCoefficients, key) ?? { low: 0, likely: 0, high: 0 },
})

/** Every rule with its figures and what was learnt; the builds that could be worked out anew, `onTeam` for what the asker may there. */
export async function rulesPage(db: Reader, member: { id: string; roles: readonly string[] }) {
  const [own, learned] = [await setFigures(db), await loadLearned(db)]
  const figures = [...coefficientAbout].map(([key, about]) => line(key, about, own))
  const builds = await db.build.findMany({
    where: { AND: [visibleTo(member), { state: { not: 'launched' }, listKey: { not: null } }] },
    select: { id: true, name: true, team: { where: { memberId: member.id }, select: { memberId: true } } }, orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  return {
    rules: RULES.map((key): RuleLine => {
      const { name, formula, source } = ruleAbout[key]
      return { key, name, formula, source, figures: figures.filter((f) => f.about.rules.includes(key)), learned: learned.filter((l) => l.rule === key) }
    }),
    /** Constants that stand behind several rules, or none by name. */
    figures, learned,
    builds: builds.map(({ team, ...b }) => ({ ...b, onTeam: team.length > 0 })),
  }
}
export type RulesPageModel = Awaited<ReturnType<typeof rulesPage>>

/** One figure, for its form; null: no such figure. */
export async function figurePage(db: Reader, key: string) {
  const about = coefficientAbout.get(key)
  if (!about) return null
  const figure = line(key, about, await setFigures(db))
  return { figure, usedBy: RULES.filter((rule) => about.rules.includes(rule)).map((rule) => ({ key: rule, ...ruleAbout[rule] })) }
}
export type FigurePageModel = NonNullable<Awaited<ReturnType<typeof figurePage>>>
