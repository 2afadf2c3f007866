/** The example club asks itself something that is still open: the newest boat's bottom. */
import { addDays } from '../../src/core/calendar/index.ts'
import { presetSheet } from '../../src/features/planning/public.ts'
import type { Tx } from '../../src/platform/database.ts'
import { localMoment } from '../../src/platform/times.ts'
import { CLUB } from './scenario.ts'

export async function loadOptions(tx: Tx, today: string, members: ReadonlyMap<string, string>): Promise<void> {
  const build = await tx.build.findUniqueOrThrow({ where: { name: 'Whimbrel' }, select: { id: true } })
  await presetSheet(tx, build.id, 'ply', { by: members.get('hanne') ?? '', at: localMoment(CLUB.zone, addDays(today, -2), '20:15') })
}
