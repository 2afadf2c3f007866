import type { Reader } from '../../../platform/database.ts'
import { choiceOf, choiceText, guessed, type Choice } from '../facts/material-choice.ts'
import { materialSums, type Range3 } from '../facts/sums.ts'
import { buildHead } from './build-page.ts'
import { knownNames, storeChoices } from './store-choices.ts'
import { taskNeeds } from './task-needs.ts'

/** A material's name in one build. Texts as forms send them; '' where its tasks differ. */
export type MaterialLine = {
  name: string
  units: string[]
  tasks: number
  /** Of tasks that are not finished. */
  sums: (Range3 & { unit: string })[]
  from: string
  use: string
  /** What it might be, where nobody has said yet. */
  guess: string | null
}

const same = (texts: readonly string[]): string => (new Set(texts).size === 1 ? (texts[0] ?? '') : '')

export async function materialLines(db: Reader, buildId: string): Promise<MaterialLine[]> {
  const rows = await db.taskMaterial.findMany({
    where: { task: { buildId } },
    select: {
      name: true, unit: true, low: true, likely: true, high: true, itemId: true, productId: true, structural: true, taskId: true,
      task: { select: { productId: true, finishedAt: true } },
    },
    orderBy: [{ name: 'asc' }, { taskId: 'asc' }, { id: 'asc' }],
  })
  const [stores, known] = [await storeChoices(db), await knownNames(db)]
  const names = [...new Set(rows.map((r) => r.name))].sort((a, b) => a.localeCompare(b))
  return names.map((name) => {
    const mine = rows.filter((r) => r.name === name)
    const units = [...new Set(mine.map((r) => r.unit))].sort()
    // A mixed amount where nothing cures is tied to nothing: it does not make the name differ.
    const isMix = mine.some((r) => choiceOf(r, r.task.productId).is === 'mixed')
    const from = same(mine.filter((r) => !isMix || r.task.productId !== null).map((r) => choiceText(choiceOf(r, r.task.productId))))
    const guess: Choice | null = from === 'not' ? (known.get(name) ?? guessed(name, units, stores.items)) : null
    return {
      name, units, from, tasks: new Set(mine.map((r) => r.taskId)).size,
      sums: materialSums(mine.filter((r) => r.task.finishedAt === null)),
      use: same(mine.map((r) => (r.structural ? 'structure' : 'any'))),
      guess: guess === null || guess.is === 'not' ? null : choiceText(guess),
    }
  })
}

/** All names of a build with what they are tied to, and what the items of the stores come to. */
export async function materialsPage(db: Reader, buildId: string) {
  const [build, lines, stores] = [await buildHead(db, buildId), await materialLines(db, buildId), await storeChoices(db)]
  const tasks = await db.task.findMany({ where: { buildId }, select: { id: true, finishedAt: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const needs = await taskNeeds(db, tasks.map((t) => t.id))
  const sums = new Map<string, { itemId: string; drawnMilli: number; leftMilli: number }>()
  for (const t of tasks) {
    for (const n of needs.get(t.id) ?? []) {
      const sum = sums.get(n.itemId) ?? { itemId: n.itemId, drawnMilli: 0, leftMilli: 0 }
      sums.set(n.itemId, { ...sum, drawnMilli: sum.drawnMilli + n.drawnMilli, leftMilli: sum.leftMilli + (t.finishedAt === null ? n.leftMilli : 0) })
    }
  }
  const items = stores.items.flatMap((i) => (sums.has(i.id) ? [{ ...sums.get(i.id)!, name: i.name, unit: i.unit }] : []))
  return { build, lines, stores, items, unmixed: await unmixed(db, buildId) }
}
export type MaterialsPageModel = Awaited<ReturnType<typeof materialsPage>>

/** Cure products that her tasks mix and whose resin and hardener nobody has named. */
async function unmixed(db: Reader, buildId: string): Promise<{ id: string; name: string }[]> {
  return db.cureProduct.findMany({
    where: { system: null, materials: { some: { task: { buildId, finishedAt: null } } } },
    select: { id: true, name: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
}
