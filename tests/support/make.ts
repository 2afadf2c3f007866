import { randomUUID } from 'node:crypto'
import type { Db } from '../../src/platform/database.ts'
import type { Prisma } from '../../src/platform/generated/client.ts'
import type { Role } from '../../src/platform/generated/enums.ts'

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

    once: () => randomUUID(),
  }
}

export type Maker = ReturnType<typeof maker>
