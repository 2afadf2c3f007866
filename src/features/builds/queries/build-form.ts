import type { Reader } from '../../../platform/database.ts'
import { isoDate } from '../../../platform/times.ts'
import type { FormValues } from './task-form.ts'

/** A build as its form sends it. */
export async function buildValues(db: Reader, buildId: string): Promise<FormValues> {
  const b = await db.build.findUniqueOrThrow({ where: { id: buildId }, include: { team: { orderBy: { memberId: 'asc' } } } })
  return {
    version: String(b.version), name: b.name, design: b.design, placeId: b.placeId, launchTarget: b.launchTarget === null ? '' : isoDate(b.launchTarget),
    priority: String(b.priority), visibility: b.visibility, grade: b.grade, team: b.team.map((m) => m.memberId), note: b.pauseNote,
  }
}

/** What forms about builds offer to choose from. */
export async function buildChoices(db: Reader) {
  const [places, members] = [
    await db.place.findMany({ where: { isActive: true }, select: { id: true, name: true, bays: true, site: { select: { name: true, kind: true } } }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.member.findMany({ where: { isActive: true }, select: { id: true, name: true, isMinor: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
  ]
  return { places, members }
}
export type BuildChoices = Awaited<ReturnType<typeof buildChoices>>
