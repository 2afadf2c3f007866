import type { Prisma } from '../../../platform/generated/client.ts'

/** Which builds a person may see in lists: all that are open to the club, and those of their own teams; officers see all. */
export function visibleTo(member: { id: string; roles: readonly string[] }): Prisma.BuildWhereInput {
  return member.roles.includes('officer') ? {} : { OR: [{ visibility: 'club' }, { team: { some: { memberId: member.id } } }] }
}
