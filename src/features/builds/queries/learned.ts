/** What the club's weighed use says about the estimate's rules. */
import { learn, type LearnedFactor } from '../../../core/estimate/index.ts'
import type { RuleKey, Skill } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { loadSystems } from '../../stores/public.ts'
import { RULES, SKILLS } from '../facts/rule-keys.ts'
import { grouped, weighingsOf, type BaseRow, type UsedRow } from '../facts/weighings.ts'
import { measures } from './task-needs.ts'

/** `factor` with its 80 % interval; `spread`: of the weighings' log ratios; `mean`: what the weighings alone say. `used`: the club wants it used. */
export type Learned = LearnedFactor & { rule: RuleKey; skill: Skill; used: boolean }

/**
 * By rule and skill of the build, in the order of the rules; what was never weighed is not in it. A task counts when it is finished and
 * something of that material was drawn on it. Two walks over the books, however many entries they have.
 */
export async function loadLearned(db: Reader): Promise<Learned[]> {
  const rows = await db.$queryRaw<BaseRow[]>`
    select m.task_id as "taskId", b.skill::text as skill, m.item_id as "itemId", m.product_id as "productId", m.unit, m.rule_key as "ruleKey", sum(m.likely / m.factor) as base
    from task_material m join task t on t.id = m.task_id join build b on b.id = t.build_id
    where t.finished_at is not null and (m.item_id is not null or m.product_id is not null)
      and exists (select 1 from task_material r where r.task_id = t.id and r.rule_key is not null)
    group by 1, 2, 3, 4, 5, 6 order by 1, 6, 3, 4, 5`
  if (rows.length === 0) return []
  const used = await db.$queryRaw<(Omit<UsedRow, 'milli'> & { milli: bigint })[]>`
    select e.task_id as "taskId", e.item_id as "itemId", -sum(e.qty_milli)::bigint as milli
    from stock_entry e join task t on t.id = e.task_id
    where t.finished_at is not null and exists (select 1 from task_material r where r.task_id = t.id and r.rule_key is not null)
    group by 1, 2 having sum(e.qty_milli) < 0`
  const [items, systems, off] = [await measures(db), await loadSystems(db), await db.learnedOff.findMany({ select: { ruleKey: true, skill: true } })]
  const mixes = new Map([...systems].map(([id, s]) => [id, { resinId: s.resin.id, hardenerId: s.hardener.id, ratio: s.massRatio }]))
  // The density that a mix is reckoned with stands at its product where the item has none.
  for (const { resin, hardener } of systems.values()) {
    for (const part of [resin, hardener]) items.set(part.id, { unit: part.unit, widthMm: null, ...items.get(part.id), density: part.density })
  }
  const all = grouped(weighingsOf(rows, used.map((u) => ({ ...u, milli: Number(u.milli) })), { items, mixes }), (w) => `${w.rule} ${w.skill}`)
  const isOff = new Set(off.map((o) => `${o.ruleKey} ${o.skill}`))
  return RULES.flatMap((rule) => SKILLS.flatMap((skill): Learned[] => {
    const weighings = all.get(`${rule} ${skill}`)
    return weighings ? [{ rule, skill, ...learn(weighings), used: !isOff.has(`${rule} ${skill}`) }] : []
  }))
}

/** Factors that an estimate for hands of this skill uses. */
export function factorsFor(learned: readonly Learned[], skill: Skill): Map<RuleKey, number> {
  return new Map(learned.filter((l) => l.skill === skill && l.used && l.count > 0).map((l) => [l.rule, l.factor]))
}
