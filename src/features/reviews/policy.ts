import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  /** Progress, week reviews, the club sheet, the record. */
  'reviews.view': { who: 'member' },
  /** Drafting, editing and signing a week review. */
  'reviews.edit': { who: ['officer'], own: ['builder', 'keyholder'] },
  /** Agreeing the work plan that progress is measured against. */
  'reviews.agree': { who: ['officer'], own: ['builder'] },
  /** Links for guests, and what they show. */
  'reviews.share': { who: ['officer'], own: ['builder'] },
  /** What a link shows to whoever has it. */
  'guests.see': { who: 'public' },
} satisfies PolicyRows
