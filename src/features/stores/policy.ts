import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  'stores.view': { who: 'member' },
  'stores.products': { who: ['officer', 'storekeeper'] },
} satisfies PolicyRows
