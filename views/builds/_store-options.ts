import type { StoreChoices } from '../../src/features/builds/queries/store-choices.ts'
import type { Option } from '../shared/index.ts'

type Stores = Pick<StoreChoices, 'items'> & Partial<Pick<StoreChoices, 'mixes'>>

/** What a material can be in the stores; items that are not used any more only where one is chosen already. */
export function storeOptions({ items, mixes = [] }: Stores, chosen = ''): Option[] {
  return [
    { value: 'not', label: 'Not in the stores' },
    { value: 'mixed', label: 'Mixed: the task’s cure product' },
    ...mixes.map((p) => ({ value: `product:${p.id}`, label: `Mixed: ${p.name}` })),
    ...items.filter((i) => i.isActive || i.id === chosen).map((i) => ({ value: i.id, label: `${i.name} (${i.unit === 'm2' ? 'm²' : i.unit})`, group: 'Items of the stores' })),
  ]
}

export const USES: readonly Option[] = [
  { value: 'structure', label: 'fit for structure only' },
  { value: 'any', label: 'any that is usable' },
]
