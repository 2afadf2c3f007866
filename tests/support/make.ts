import { randomUUID } from 'node:crypto'
import type { Db } from '../../src/platform/database.ts'
import type { Prisma } from '../../src/platform/generated/client.ts'
import type { Role } from '../../src/platform/generated/enums.ts'
import { defaultCureProducts, receiveStock } from '../../src/features/stores/public.ts'
import type { Ctx } from '../../src/platform/write.ts'

type MakeLot = Partial<Prisma.LotUncheckedUpdateInput> & { itemId?: string; qty?: number; cents?: number; on?: string; by?: string; holderId?: string }
const QUIET = { info() {}, warn() {}, error() {}, debug() {} } as unknown as Ctx['log']

/** Small rows that are right by themselves; a test says only what it is about. */
export function maker(db: Db, now: Date) {
  let count = 0
  const next = () => ++count

  return {
    club: (over: Partial<Prisma.ClubUncheckedCreateInput> = {}) =>
      db.club.create({ data: { name: 'Saltmarsh Boat Club', zone: 'Europe/Berlin', setUpAt: now, ...over } }),

    member: (roles: Role[] = ['builder'], over: Partial<Prisma.MemberUncheckedCreateInput> = {}) =>
      db.member.create({ data: { name: `Member ${next()}`, roles, createdAt: now, ...over } }),

    site: (over: Partial<Prisma.SiteUncheckedCreateInput> = {}) => db.site.create({ data: { name: `Site ${next()}`, ...over } }),

    async place(over: Partial<Prisma.PlaceUncheckedCreateInput> = {}) {
      const siteId = over.siteId ?? (await this.site()).id
      return db.place.create({
        data: { name: `Place ${next()}`, bays: 2, monthlyAir: Array<number>(12).fill(18), monthlyDew: Array<number>(12).fill(8), ...over, siteId },
      })
    },

    tool: (over: Partial<Prisma.ToolUncheckedCreateInput> = {}) => db.tool.create({ data: { name: `Tool ${next()}`, ...over } }),

    /** `team`: ids of the members in it. */
    async build(over: Partial<Prisma.BuildUncheckedCreateInput> = {}, team: string[] = []) {
      const placeId = over.placeId ?? (await this.place()).id
      const data = { name: `Build ${next()}`, startedOn: new Date(now.toISOString().slice(0, 10)), ...over, placeId }
      return db.build.create({ data: { ...data, team: { create: team.map((memberId) => ({ memberId })) } } })
    },

    phase: (buildId: string, over: Partial<Prisma.PhaseUncheckedCreateInput> = {}) => {
      const n = next()
      return db.phase.create({ data: { name: `Phase ${n}`, position: n, ...over, buildId } })
    },

    item: (over: Partial<Prisma.ItemUncheckedCreateInput> = {}) =>
      db.item.create({ data: { name: `Item ${next()}`, kind: 'resin', unit: 'g', ...over } }),

    /**
     * A lot with its receipt, booked as the service books it. `qty`: thousandths of the item's unit; `by`: who booked it (a new storekeeper
     * unless given); `holderId`: the club's unless given.
     */
    async lot({ itemId, qty = 1_000_000, cents = 1000, on = now.toISOString().slice(0, 10), by, holderId, ...over }: MakeLot = {}) {
      const memberId = by ?? (await this.member(['storekeeper'])).id
      const input = { itemId: itemId ?? (await this.item()).id, qtyMilli: qty, valueCents: cents, receivedOn: on, code: '', expiresOn: null, ...(holderId && { holderId }) }
      const booked = await db.$transaction((tx) => receiveStock(tx, this.ctx(memberId), input))
      if (!booked.ok) throw new Error(`make.lot: ${JSON.stringify(booked.refusal)}`)
      const row = await db.lot.update({ where: { id: booked.value.lotId }, data: over })
      return { ...row, entryId: booked.value.entryId }
    },

    /** Resin and hardener of a cure product, with items of their own unless given. */
    async system(over: Partial<Prisma.SystemUncheckedCreateInput> = {}) {
      const productId = over.productId ?? (await db.cureProduct.create({ data: { ...defaultCureProducts[0]!, name: `Product ${next()}` } })).id
      const resinItemId = over.resinItemId ?? (await this.item({ kind: 'resin' })).id
      const hardenerItemId = over.hardenerItemId ?? (await this.item({ kind: 'hardener' })).id
      return db.system.create({ data: { ...over, productId, resinItemId, hardenerItemId } })
    },

    /** What a command gets from a signed-in storekeeper's request. */
    ctx: (memberId: string, over: Partial<Ctx> = {}): Ctx => ({
      now, clubZone: 'Europe/Berlin', member: { id: memberId, name: 'Member', roles: ['storekeeper'] }, may: () => true, log: QUIET, ...over,
    }),

    once: () => randomUUID(),
  }
}

export type Maker = ReturnType<typeof maker>
