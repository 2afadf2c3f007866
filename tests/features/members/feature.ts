import type { Feature } from '../../../src/app/features.ts'
import { policy } from '../../../src/features/members/policy.ts'
import routes from '../../../src/features/members/routes.ts'

/** Members alone: its pages need no other feature. */
export const members: Feature = { name: 'members', policy, routes }
