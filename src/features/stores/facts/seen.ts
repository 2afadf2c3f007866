import type { Prisma } from '../../../platform/generated/client.ts'

export type Looker = { id: string; roles: readonly string[] }

/** Which builds a person may see: all that are open to the club, and those of their own teams; officers see all. */
export const seenBuilds = (looker: Looker): Prisma.BuildWhereInput =>
  looker.roles.includes('officer') ? {} : { OR: [{ visibility: 'club' }, { team: { some: { memberId: looker.id } } }] }
