import type { FastifyRequest } from 'fastify'
import { found } from '../../../platform/errors.ts'
import type { Units } from '../../../../views/shared/format.ts'
import { localParts } from '../times.ts'

/** A part of the address, which the guard has seen to be a uuid. */
export const idIn = (req: FastifyRequest, name: string): string => found((req.params as Record<string, string | undefined>)[name])
export const unitsIn = (req: FastifyRequest): Units => req.club?.units ?? 'metric'
export const todayIn = (req: FastifyRequest, now: Date): string => localParts(req.club?.zone ?? 'UTC', now).date
