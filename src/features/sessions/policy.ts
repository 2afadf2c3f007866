import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  'sessions.setUp': { who: 'public' },
  'workshop.view': { who: 'member' },
  /** Sites, places, tools and when they are shut or away. */
  'workshop.edit': { who: ['officer'] },
  /** Read a thermometer. */
  'workshop.read': { who: 'member' },
  'sessions.view': { who: 'member' },
  /** Enter, change and call off sessions. */
  'sessions.edit': { who: ['officer', 'keyholder'] },
  /** Say for oneself whether one comes, and tick oneself as here. */
  'sessions.answer': { who: 'member' },
  /** The same for others, and walk-ins. */
  'sessions.others': { who: ['officer', 'keyholder'] },
  /** Usual attendance and own hours at home: one's own. */
  'times.own': { who: 'member' },
  'times.others': { who: ['officer'] },
} satisfies PolicyRows
