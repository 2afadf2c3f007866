/** What a material's name stands for in the stores: as a form says it, as a row keeps it, as it is guessed. Pure. */
import type { MaterialName, TaskMaterial } from '../../../platform/generated/client.ts'
import { carriesLoad, inUnitOf, mixCarriesLoad, type Measure } from './amounts.ts'

export type StoreItem = Measure & { id: string; name: string; kind: string; isActive: boolean }
export type Mix = { id: string; name: string; kind: string }

/** not: not in the stores. mixed: resin and hardener of the task's own cure product. product: of another one. */
export type Choice = { is: 'not' } | { is: 'mixed' } | { is: 'product'; id: string } | { is: 'item'; id: string }
export type Tie = Pick<TaskMaterial, 'itemId' | 'productId'>

/** A material of a task's form. Choice null: what its name is known for; structural null: by what it is. */
export type TypedMaterial = { name: string; unit: string; low: number; likely: number; high: number; rule: string; choice: Choice | null; structural: boolean | null }

/** As a form sends it; null: by its name, as it is remembered. */
export function readChoice(text: string): Choice | null {
  if (text === '') return null
  if (text === 'not' || text === 'mixed') return { is: text }
  return text.startsWith('product:') ? { is: 'product', id: text.slice(8) } : { is: 'item', id: text }
}
export const choiceText = (c: Choice): string => (c.is === 'item' ? c.id : c.is === 'product' ? `product:${c.id}` : c.is)

export function choiceOf(row: Tie, taskProductId: string | null): Choice {
  if (row.itemId !== null) return { is: 'item', id: row.itemId }
  if (row.productId === null) return { is: 'not' }
  return row.productId === taskProductId ? { is: 'mixed' } : { is: 'product', id: row.productId }
}

/** What a row keeps. A mixed amount of a task where nothing cures is tied to nothing. */
export function tieOf(choice: Choice, taskProductId: string | null): Tie {
  if (choice.is === 'item') return { itemId: choice.id, productId: null }
  if (choice.is === 'product') return { itemId: null, productId: choice.id }
  return { itemId: null, productId: choice.is === 'mixed' ? taskProductId : null }
}

export const remembered = (row: Pick<MaterialName, 'itemId' | 'mixed'>): Choice => (row.mixed ? { is: 'mixed' } : row.itemId === null ? { is: 'not' } : { is: 'item', id: row.itemId })

const wordsOf = (name: string): string[] => name.toLowerCase().split(/[^\p{L}\p{N}]+/u).filter((w) => w !== '')

/** For a name that nobody has tied yet: the item that shares most of its words, in a unit that fits. */
export function guessed(name: string, units: readonly string[], items: readonly StoreItem[]): Choice {
  if (/\bmixed\b/i.test(name) && units.every((u) => u === 'g')) return { is: 'mixed' }
  const wanted = wordsOf(name)
  const scored = items
    .filter((i) => i.isActive && units.every((u) => inUnitOf(1, u, i) !== null))
    .map((i) => {
      const has = wordsOf(i.name)
      const shared = wanted.filter((w) => has.includes(w)).length
      return { id: i.id, share: shared / Math.max(1, Math.min(wanted.length, has.length)), shared }
    })
    .filter(({ share }) => share > 0.5)
    .sort((a, b) => b.share - a.share || b.shared - a.shared)
  return scored[0] === undefined ? { is: 'not' } : { is: 'item', id: scored[0].id }
}

/** Whether only stock fit for structure will do, until a person says otherwise. */
export function isStructural(tie: Tie, items: readonly Pick<StoreItem, 'id' | 'kind'>[], products: readonly Mix[]): boolean {
  if (tie.itemId !== null) return carriesLoad(items.find((i) => i.id === tie.itemId)?.kind ?? 'resin')
  return mixCarriesLoad(products.find((p) => p.id === tie.productId)?.kind ?? 'epoxy')
}
