/** What a material's name stands for in the stores: as a form says it, as a row keeps it, as it is guessed. Pure. */
import type { MaterialName, TaskMaterial } from '../../../platform/generated/client.ts'
import { carriesLoad, inUnitOf, mixCarriesLoad, type Measure } from './amounts.ts'

export type StoreItem = Measure & { id: string; name: string; kind: string; isActive: boolean; arealMass?: number | null; thicknessMm?: number | null }
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

/** Words that name the same thing; '' says nothing. */
const SAME: Readonly<Record<string, string>> = { plywood: 'ply', thickener: '', fumed: '', marine: '' }
const wordsOf = (name: string): string[] => name.toLowerCase().split(/[^\p{L}\p{N}]+/u).map((w) => SAME[w] ?? w).filter((w) => w !== '')

/** For a name that nobody has tied yet: the item that shares most of its words, in a unit that fits and with no other thickness, width, glass or wood. */
export function guessed(name: string, units: readonly string[], items: readonly StoreItem[]): Choice {
  if (/\bmixed\b/i.test(name) && units.every((u) => u === 'g')) return { is: 'mixed' }
  const wanted = wordsOf(name)
  const scored = items
    .filter((i) => i.isActive && units.every((u) => inUnitOf(1, u, i) !== null) && agrees(name, i))
    .map((i) => {
      const has = wordsOf(i.name)
      const shared = wanted.filter((w) => has.includes(w)).length
      return { id: i.id, share: shared / Math.max(1, Math.min(wanted.length, has.length)), shared }
    })
    .filter(({ share }) => share > 0.5)
    .sort((a, b) => b.share - a.share || b.shared - a.shared)
  return scored[0] === undefined ? { is: 'not' } : { is: 'item', id: scored[0].id }
}

type Size = { value: number; unit: 'g' | 'mm' | '' }
const sizesOf = (name: string): Size[] =>
  [...name.matchAll(/(\d+(?:[.,]\d+)?)\s*(g\b|mm\b)?/gi)].map(([, n, unit]) => ({ value: Number(n!.replace(',', '.')), unit: (unit?.toLowerCase() ?? '') as Size['unit'] }))
const WOODS = ['okoume', 'sapele', 'birch', 'fir', 'meranti', 'spruce', 'pine', 'oak', 'ash', 'larch', 'cedar', 'mahogany']

/** 80 g cloth is no 200 g roll, and 4 mm ply no 6 mm sheet: a size that both name must be the same. */
function agrees(name: string, item: StoreItem): boolean {
  const own: Size[] = [
    ...sizesOf(item.name),
    ...(item.arealMass ? [{ value: item.arealMass, unit: 'g' as const }] : []),
    ...(item.thicknessMm ? [{ value: item.thicknessMm, unit: 'mm' as const }] : []),
    ...(item.kind === 'tape' && item.widthMm ? [{ value: item.widthMm, unit: 'mm' as const }] : []),
  ]
  const wood = (text: string) => WOODS.filter((w) => wordsOf(text).includes(w))
  const [asked, has] = [wood(name), wood(item.name)]
  if (asked.length > 0 && has.length > 0 && !asked.some((w) => has.includes(w))) return false
  return sizesOf(name).every((size) => {
    const like = own.filter((o) => size.unit === '' || o.unit === '' || o.unit === size.unit)
    return like.length === 0 || like.some((o) => o.value === size.value)
  })
}

/** Whether only stock fit for structure will do, until a person says otherwise. */
export function isStructural(tie: Tie, items: readonly Pick<StoreItem, 'id' | 'kind'>[], products: readonly Mix[]): boolean {
  if (tie.itemId !== null) return carriesLoad(items.find((i) => i.id === tie.itemId)?.kind ?? 'resin')
  return mixCarriesLoad(products.find((p) => p.id === tie.productId)?.kind ?? 'epoxy')
}
