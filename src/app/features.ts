import { existsSync } from 'node:fs'
import type { FastifyInstance } from 'fastify'
import type { Deps } from '../platform/deps.ts'
import type { PolicyRows } from '../platform/policy.ts'

export type Feature = { name: string; policy: PolicyRows; routes: (app: FastifyInstance, deps: Deps) => Promise<void> }

const NAMES = ['members', 'stores', 'sessions', 'builds', 'planning', 'reviews']

export async function loadFeatures(): Promise<Feature[]> {
  const features: Feature[] = []
  for (const name of NAMES) {
    const folder = new URL(`../features/${name}/`, import.meta.url)
    if (!existsSync(new URL('routes.ts', folder))) continue
    const routes = (await import(new URL('routes.ts', folder).href)) as { default: Feature['routes'] }
    const policy = (await import(new URL('policy.ts', folder).href)) as { policy: PolicyRows }
    features.push({ name, routes: routes.default, policy: policy.policy })
  }
  return features
}
