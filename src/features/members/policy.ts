import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  /** Signing in and out, taking up an invitation. */
  'members.signIn': { who: 'public' },
  'members.view': { who: 'member' },
  /** Telephone, e-mail and who is under age: for those who answer for the shed. */
  'members.contact': { who: ['officer', 'keyholder'] },
  'members.edit': { who: ['officer'] },
  /** The club's own settings. */
  'club.edit': { who: ['officer'] },
  'members.me': { who: 'member' },
} satisfies PolicyRows
