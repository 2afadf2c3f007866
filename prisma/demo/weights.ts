/** The example club puts its boats on the scales: what they are meant to weigh, and what they weighed as far as they were built. */
import type { FastifyBaseLogger } from 'fastify'
import { addDays } from '../../src/core/calendar/index.ts'
import { weightPage, addWeighIn, withdrawWeighIn } from '../../src/features/builds/public.ts'
import type { Tx } from '../../src/platform/database.ts'
import { localMoment } from '../../src/platform/times.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { CLUB } from './scenario.ts'

interface Weighing {
  readonly daysAgo: number
  readonly by: string
  readonly what: string
  readonly note: string
  /** Of what the estimate expects by then; absent: `kg` is what the scales showed. */
  readonly times?: number
  readonly kg?: number
  readonly isPart?: boolean
  readonly isWithdrawn?: boolean
}

/** Kilograms ready to sail, and weighings; resin is what clubs are generous with. */
const BOATS: readonly { readonly name: string; readonly targetKg: number; readonly weighings: readonly Weighing[] }[] = [
  {
    name: 'Dunlin', targetKg: 85,
    weighings: [
      { daysAgo: 95, by: 'oona', what: 'Hull on two battens', note: 'Two bathroom scales; both are within 200 g of the shop’s.', times: 1.02 },
      { daysAgo: 46, by: 'tomas', what: 'Hull', note: 'The cradle was still on her.', times: 1.4, isWithdrawn: true },
      { daysAgo: 45, by: 'tomas', what: 'Hull, without the cradle', note: '', times: 1.05 },
      { daysAgo: 12, by: 'oona', what: 'Hull with all that is in her', note: 'Lifted by four.', times: 1.06 },
      { daysAgo: 10, by: 'marten', what: 'Rudder blade and stock', note: 'Kitchen scale.', kg: 1.9, isPart: true },
    ],
  },
  { name: 'Turnstone', targetKg: 115, weighings: [{ daysAgo: 20, by: 'yusuf', what: 'Hull shell', note: 'Hung from the hoist, luggage scale of 50 kg.', times: 1.03 }] },
]

export async function loadWeights(tx: Tx, today: string, members: ReadonlyMap<string, string>, log: FastifyBaseLogger): Promise<void> {
  for (const { name, targetKg, weighings } of BOATS) {
    const build = await tx.build.findUniqueOrThrow({ where: { name }, select: { id: true } })
    await tx.build.update({ where: { id: build.id }, data: { massTargetG: targetKg * 1000 } })
    for (const { daysAgo, by, what, note, times = 1, kg, isPart = false, isWithdrawn = false } of weighings) {
      const day = addDays(today, -daysAgo)
      const at = localMoment(CLUB.zone, day, '20:00')
      const expected = (await weightPage(tx, build.id, CLUB.zone, at)).budget?.done.likely ?? 0
      // Scales show tenths of a kilogram.
      const shown = kg ?? Math.round(expected * times * 10) / 10
      if (shown < 5 && !isPart) continue
      const memberId = members.get(by) ?? ''
      const ctx: Ctx = { now: at, member: { id: memberId, name: by, roles: ['builder'] }, clubZone: CLUB.zone, log, may: () => true }
      const booked = await addWeighIn(tx, ctx, build.id, { day, mass: Math.round(shown * 1000), what, whole: !isPart, note }, null)
      if (!booked.ok) throw new Error(`demo weights: ${JSON.stringify(booked.refusal)}`)
      if (!isWithdrawn) continue
      const made = await tx.weighIn.findFirstOrThrow({ where: { buildId: build.id }, orderBy: { loggedAt: 'desc' }, select: { id: true } })
      await withdrawWeighIn(tx, ctx, build.id, made.id)
    }
  }
}
