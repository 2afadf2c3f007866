/** What a task takes of the estimate: shares of its lines, waste and all. Pure. */
import type { Line } from '../../../core/estimate/types.ts'
import type { DraftMaterial, LineShare, TaskDef } from './types.ts'

/** Longest that a form takes. */
const RULE_LENGTH = 300

/** `*` stands for anything. */
export function takes(pattern: string, key: string): boolean {
  if (!pattern.includes('*')) return pattern === key
  const parts = pattern.split('*')
  const [head, tail] = [parts[0]!, parts.at(-1)!]
  if (key.length < head.length + tail.length || !key.startsWith(head) || !key.endsWith(tail)) return false
  let from = head.length
  for (const part of parts.slice(1, -1)) {
    const at = key.indexOf(part, from)
    if (at === -1 || at + part.length > key.length - tail.length) return false
    from = at + part.length
  }
  return true
}

/** Of one of `count` tasks in a row. A line that the boat doesn't have gives nothing. */
export function materialsOf(def: Pick<TaskDef, 'materials'>, count: number, lines: readonly Line[]): DraftMaterial[] {
  return (def.materials ?? []).flatMap((share) => lines.filter((l) => takes(share.line, l.key)).map((line) => materialOf(line, { ...share, share: share.share / count })))
}

const cents = (n: number): number => Math.round(n * 100) / 100

function materialOf(line: Line, { share }: LineShare): DraftMaterial {
  const amount = (end: 'low' | 'likely' | 'high') => cents((line.net[end] + line.waste[end]) * share)
  const likely = amount('likely')
  return {
    name: line.material, unit: line.unit, low: Math.min(amount('low'), likely), likely, high: Math.max(amount('high'), likely),
    rule: ruleText(line, share), line: line.key, ruleKey: line.rule, factor: line.factor, share,
  }
}

function ruleText(line: Line, share: number): string {
  const part = share === 1 ? '' : `${Math.round(share * 100)} % of `
  const waste = line.waste.likely > 0 ? ', waste on top' : ''
  const text = `${part}${line.name.toLowerCase()}: ${line.formula}${waste} (${line.source})`
  return text.length <= RULE_LENGTH ? text : `${text.slice(0, RULE_LENGTH - 1)}…`
}
