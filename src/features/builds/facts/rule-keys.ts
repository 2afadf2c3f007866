import { ruleAbout } from '../../../core/estimate/index.ts'
import type { RuleKey, Skill } from '../../../core/estimate/types.ts'

/** The estimate's rules in the order of a page. */
export const RULES = Object.keys(ruleAbout) as readonly RuleKey[]
export const SKILLS = ['first', 'some', 'practised'] as const satisfies readonly Skill[]

const known: ReadonlySet<string> = new Set(RULES)
/** Things that go by the piece are counted, and unlike each other: nothing is learnt from wire about hinges. */
export const learnsFrom = (key: string | null): key is RuleKey => key !== null && key !== 'piece' && known.has(key)
