/** What materials are in the stores: names tied to items, remembered for the next build. */
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { MIXED_IN_G, mismatch } from '../facts/amounts.ts'
import { choiceText, isStructural, tieOf, type Choice, type Tie, type TypedMaterial } from '../facts/material-choice.ts'
import { materialLines } from '../queries/materials-page.ts'
import { knownNames, storeChoices, type StoreChoices } from '../queries/store-choices.ts'
import { changed } from './changed.ts'

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

export type MaterialRow = Omit<TypedMaterial, 'choice' | 'structural'> & Tie & { structural: boolean; line: string | null; ruleKey: string | null; factor: number }
type StoredRow = Pick<MaterialRow, 'name' | 'unit' | 'low' | 'likely' | 'high' | 'line' | 'ruleKey' | 'factor'>

/**
 * Materials of a task's form as rows; a name without a choice means what it is known for. A new name that gets an item is remembered.
 * `stored`: the task's rows until now. One whose amounts were left as they were stays the estimate's.
 */
export async function tieMaterials(tx: Tx, typed: readonly TypedMaterial[], productId: string | null, stored: readonly StoredRow[] = []): Promise<Result<MaterialRow[], Refusal>> {
  const [choices, known] = [await storeChoices(tx), await knownNames(tx)]
  const rows: MaterialRow[] = []
  const left = [...stored]
  for (const { choice: said, structural, ...m } of typed) {
    const bad = (message: string) => refused(422, 'Nothing was changed: see the note at the materials.', { fields: { materials: `${m.name}: ${message}` } })
    if (said?.is === 'mixed' && productId === null) return bad('nothing cures in this task, so say which product is mixed, or choose its cure product above')
    const choice = said ?? known.get(m.name) ?? { is: 'not' }
    const fault = tieFault(choice, [m.unit], choices)
    if (fault !== null && said !== null) return bad(fault)
    const tie = tieOf(fault === null ? choice : { is: 'not' }, productId)
    const at = left.findIndex((r) => r.name === m.name && r.unit === m.unit && r.low === m.low && r.likely === m.likely && r.high === m.high)
    const [same] = at === -1 ? [] : left.splice(at, 1)
    rows.push({ ...m, ...tie, line: same?.line ?? null, ruleKey: same?.ruleKey ?? null, factor: same?.factor ?? 1, structural: structural ?? isStructural(tie, choices.items, choices.products) })
    if (said !== null && said.is !== 'not' && !known.has(m.name)) await remember(tx, m.name, said)
  }
  return ok(rows)
}

export type NameInput = { field: number; name: string; was: string; choice: Choice | null; use: 'structure' | 'any' | ''; wasUse: string }

/** Ties names of a build to items, in all her tasks; lines that were left as they were are left alone. */
export async function saveMaterials(tx: Tx, ctx: Ctx, buildId: string, input: readonly NameInput[]): Promise<Result<Done, Refusal>> {
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true } })
  const [lines, stores] = [await materialLines(tx, buildId), await storeChoices(tx)]
  const tied: string[] = []
  let without = 0
  for (const typed of input) {
    const said = typed.choice === null ? null : choiceText(typed.choice)
    const isTied = said !== null && said !== typed.was
    const isUse = typed.use !== '' && typed.use !== typed.wasUse
    const line = lines.find((l) => l.name === typed.name)
    if ((!isTied && !isUse) || !line) continue
    if ((isTied && line.from !== typed.was) || (isUse && line.use !== typed.wasUse)) {
      return refused(409, `Somebody changed what “${typed.name}” is tied to while this page was open.`, { current: { [`from.${typed.field}`]: line.from, [`use.${typed.field}`]: line.use } })
    }
    const fault = isTied ? tieFault(typed.choice!, line.units, stores) : null
    if (fault !== null) return refused(422, 'Nothing was changed: see the note at the material.', { fields: { [`from.${typed.field}`]: `${typed.name}: ${fault}` } })
    const rows = await tx.taskMaterial.findMany({ where: { name: typed.name, task: { buildId } }, select: { id: true, itemId: true, productId: true, structural: true, task: { select: { productId: true } } }, orderBy: { id: 'asc' } })
    for (const row of rows) {
      const tie = isTied ? tieOf(typed.choice!, row.task.productId) : { itemId: row.itemId, productId: row.productId }
      if (typed.choice?.is === 'mixed' && tie.productId === null) without++
      const structural = isUse ? typed.use === 'structure' : isTied ? isStructural(tie, stores.items, stores.products) : row.structural
      await tx.taskMaterial.update({ where: { id: row.id }, data: { ...tie, structural } })
    }
    if (isTied) await remember(tx, typed.name, typed.choice!)
    tied.push(typed.name)
  }
  const location = `/builds/${buildId}/materials`
  if (tied.length === 0) return ok({ location, flash: 'Nothing was changed.' })
  await audit(tx, ctx, { what: 'materials tied', entity: 'build', entityId: buildId, buildId, after: input.filter((i) => tied.includes(i.name)) })
  await changed(tx, ctx, buildId, `Materials of ${build.name} tied to the stores`)
  const left = without === 0 ? '' : ` Where a mix is asked for and nothing cures (${without === 1 ? 'one task' : `${without} tasks`}), choose the task’s cure product.`
  return ok({ location, flash: `${tied.length === 1 ? `“${tied[0]}” is` : `${tied.length} materials are`} saved, and known for the next build.${left}` })
}
