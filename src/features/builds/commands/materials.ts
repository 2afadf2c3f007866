/** What materials are in the stores: names tied to items, remembered for the next build. */
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { refused, type Refusal } from '../../../platform/write.ts'
import { MIXED_IN_G, mismatch } from '../facts/amounts.ts'
import { isStructural, tieOf, type Choice, type Tie, type TypedMaterial } from '../facts/material-choice.ts'
import { knownNames, storeChoices, type StoreChoices } from '../queries/store-choices.ts'

/** Why a name in these units can't be tied to that, for beside its field; null when it can. */
export function tieFault(choice: Choice, units: readonly string[], { items, mixes }: StoreChoices): string | null {
  if (choice.is === 'not') return null
  if (choice.is === 'item') {
    const item = items.find((i) => i.id === choice.id)
    if (!item) return 'this item is not there any more: choose another'
    return units.flatMap((unit) => mismatch(unit, item) ?? [])[0] ?? null
  }
  if (choice.is === 'product' && !mixes.some((p) => p.id === choice.id)) return 'this product’s resin and hardener are not in the stores any more: choose another'
  return units.every((u) => u === 'g') ? null : MIXED_IN_G
}

/** What a name was said to mean is kept for the builds to come. */
export async function remember(tx: Tx, name: string, choice: Choice): Promise<void> {
  // A mix of one product only is a matter of that task.
  if (choice.is === 'product') return
  const data = { itemId: choice.is === 'item' ? choice.id : null, mixed: choice.is === 'mixed' }
  await tx.materialName.upsert({ where: { name }, create: { name, ...data }, update: data })
}

export type MaterialRow = Omit<TypedMaterial, 'choice' | 'structural'> & Tie & { structural: boolean }

/** Materials of a task's form as rows; a name without a choice means what it is known for. A new name that gets an item is remembered. */
export async function tieMaterials(tx: Tx, typed: readonly TypedMaterial[], productId: string | null): Promise<Result<MaterialRow[], Refusal>> {
  const [choices, known] = [await storeChoices(tx), await knownNames(tx)]
  const rows: MaterialRow[] = []
  for (const { choice: said, structural, ...m } of typed) {
    const bad = (message: string) => refused(422, 'Nothing was changed: see the note at the materials.', { fields: { materials: `${m.name}: ${message}` } })
    if (said?.is === 'mixed' && productId === null) return bad('nothing cures in this task, so say which product is mixed, or choose its cure product above')
    const choice = said ?? known.get(m.name) ?? { is: 'not' }
    const fault = tieFault(choice, [m.unit], choices)
    if (fault !== null && said !== null) return bad(fault)
    const tie = tieOf(fault === null ? choice : { is: 'not' }, productId)
    rows.push({ ...m, ...tie, structural: structural ?? isStructural(tie, choices.items, choices.products) })
    if (said !== null && said.is !== 'not' && !known.has(m.name)) await remember(tx, m.name, said)
  }
  return ok(rows)
}
