import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  'stores.view': { who: 'member' },
  'stores.products': { who: ['officer', 'storekeeper'] },
  /** Items, packs, suppliers, systems, orders, lots and their states, imports. */
  'stores.keep': { who: ['officer', 'storekeeper'] },
  /** Receipts, write-offs, price corrections, stocktakes looked at; entries that others booked reversed. */
  'stores.book': { who: ['officer', 'storekeeper'] },
  /** At the shelf: draws for club use or one's own, returns, weighed differences, own stock, own entries reversed. */
  'stores.draw': { who: 'member' },
  /** All charges, settlements, the costing rule, exports for the treasurer. */
  'stores.money': { who: ['officer', 'storekeeper'] },
} satisfies PolicyRows
