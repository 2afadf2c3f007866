import type { PolicyRows } from '../../platform/policy.ts'

export const policy = {
  /** Noticeboard, weeks ahead, session sheets, plans, overnight check. */
  'planning.view': { who: 'member' },
  'planning.closeOut': { who: ['officer', 'keyholder'] },
  /** Pinning a piece where the plan has it, and taking a suggestion. */
  'planning.pin': { who: ['officer'], own: ['builder', 'keyholder'] },
  /** One's own reminders by mail. */
  'reminders.own': { who: 'member' },
  /** Stopping them from a mail, signed out. */
  'reminders.stop': { who: 'public' },
} satisfies PolicyRows
