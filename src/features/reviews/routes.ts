import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'

export default async function routes(_app: FastifyInstance, _deps: Deps): Promise<void> {}
