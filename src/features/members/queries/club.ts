import type { Reader } from '../../../platform/database.ts'

export const settings = {
  name: true, zone: true, locale: true, units: true, currency: true, missedWindowDays: true, surfaceOffset: true, countUsual: true, planSchedules: true, version: true,
} as const

export type ClubSettings = Awaited<ReturnType<typeof clubSettings>>

export const clubSettings = (db: Reader) => db.club.findUniqueOrThrow({ where: { id: 1 }, select: settings })
