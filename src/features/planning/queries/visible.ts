import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import type { Actor } from '../../../platform/write.ts'

export type BuildCard = {
  readonly id: string
  readonly name: string
  readonly state: 'active' | 'paused' | 'launched'
  readonly launchTarget: string | null
  readonly team: readonly string[]
  readonly placeId: string
  readonly onTeam: boolean
}

/** Builds this person may see that aren't launched, by priority then name. */
export async function visibleBuilds(db: Reader, member: Actor): Promise<BuildCard[]> {
  const seen: Prisma.BuildWhereInput = member.roles.includes('officer') ? {} : { OR: [{ visibility: 'club' }, { team: { some: { memberId: member.id } } }] }
  const rows = await db.build.findMany({
    where: { state: { not: 'launched' }, ...seen },
    select: { id: true, name: true, state: true, launchTarget: true, placeId: true, team: { select: { memberId: true } } },
    orderBy: [{ priority: 'desc' }, { name: 'asc' }],
  })
  return rows.map((b) => {
    const team = b.team.map((t) => t.memberId)
    return { id: b.id, name: b.name, state: b.state, launchTarget: b.launchTarget?.toISOString().slice(0, 10) ?? null, placeId: b.placeId, team, onTeam: team.includes(member.id) }
  })
}
