import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  'builds.view': { who: 'member' },
  'builds.start': { who: ['officer', 'builder'] },
  'builds.edit': { who: ['officer'], own: ['builder', 'keyholder'] },
  /** Hours, ticks, coats, findings, finished. A keyholder logs for whoever is in the shed. */
  'builds.log': { who: ['officer', 'keyholder'], own: ['builder', 'helper', 'storekeeper'] },
  /** What a build costs. */
  'builds.money': { who: ['officer', 'storekeeper'], own: ['builder'] },
  /** Figures of the estimate's rules, and whether what was learnt is used. */
  'estimate.rules': { who: ['officer', 'storekeeper'] },
} satisfies PolicyRows
