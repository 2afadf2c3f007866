import type { FastifyInstance } from 'fastify'
import { policy as builds } from '../features/builds/policy.ts'
import buildsRoutes from '../features/builds/routes.ts'
import { policy as members } from '../features/members/policy.ts'
import membersRoutes from '../features/members/routes.ts'
import { policy as planning } from '../features/planning/policy.ts'
import planningRoutes from '../features/planning/routes.ts'
import { policy as reviews } from '../features/reviews/policy.ts'
import reviewsRoutes from '../features/reviews/routes.ts'
import { policy as sessions } from '../features/sessions/policy.ts'
import sessionsRoutes from '../features/sessions/routes.ts'
import { policy as stores } from '../features/stores/policy.ts'
import storesRoutes from '../features/stores/routes.ts'
import type { Deps } from '../platform/deps.ts'
import type { PolicyRows } from '../platform/policy.ts'

export type Feature = { name: string; policy: PolicyRows; routes: (app: FastifyInstance, deps: Deps) => Promise<void> }

/** The features with pages, in the order in which they may know of each other. */
export const features: readonly Feature[] = [
  { name: 'members', policy: members, routes: membersRoutes },
  { name: 'stores', policy: stores, routes: storesRoutes },
  { name: 'sessions', policy: sessions, routes: sessionsRoutes },
  { name: 'builds', policy: builds, routes: buildsRoutes },
  { name: 'planning', policy: planning, routes: planningRoutes },
  { name: 'reviews', policy: reviews, routes: reviewsRoutes },
]
