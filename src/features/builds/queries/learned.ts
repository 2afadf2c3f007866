/** What the club's weighed use says about the estimate's rules. */
import type { RuleKey, Skill } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'

/** `factor` with its 80 % interval; `spread`: of the weighings' log ratios; `mean`: what the weighings alone say. `used`: the club wants it used. */
export type Learned = { rule: RuleKey; skill: Skill; factor: number; low: number; high: number; spread: number; count: number; mean: number; used: boolean }

export async function loadLearned(db: Reader): Promise<Learned[]> {
  await db.learnedOff.findMany({ select: { ruleKey: true, skill: true } })
  return []
}

/** Factors that an estimate for hands of this skill uses. */
export function factorsFor(learned: readonly Learned[], skill: Skill): Map<RuleKey, number> {
  return new Map(learned.filter((l) => l.skill === skill && l.used && l.count > 0).map((l) => [l.rule, l.factor]))
}
