/** Words beside the parts of a step. Pure. */
import { hours } from '../../../../views/shared/times.ts'
import type { Step } from './model.ts'
import type { DetailFacts } from './queries/before.ts'
import type { PlainStep } from './step.ts'

const NAMED = 3

export function withDetails({ minutes, parts, facts }: PlainStep, { rework, added, causes }: DetailFacts): Step {
  const detail: Record<string, string> = {
    'took-longer': Math.abs(facts.pace.now - facts.pace.then) < 0.005 ? '' : `reckoned at ${times(facts.pace.now)} the estimate, before at ${times(facts.pace.then)}`,
    'fewer-hands': facts.meant > 0 || facts.worked > 0 ? `${hours(facts.worked)} worked, ${hours(facts.meant)} reckoned with` : '',
    rework: named(rework), added: named(added), plan: causes.join('; '),
  }
  return { minutes, parts: parts.map((p) => ({ ...p, detail: detail[p.cause] ?? '' })) }
}

const times = (factor: number): string => `${factor.toFixed(2)} times`
const named = (names: readonly string[]): string =>
  names.length > NAMED ? `${names.slice(0, NAMED).join(', ')} and ${names.length - NAMED} more` : names.join(', ')
