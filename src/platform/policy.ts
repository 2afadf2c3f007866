import type { Role } from './generated/enums.ts'

/**
 * One row of the policy table. `who` roles may everywhere; `own` roles only on builds whose team they are in.
 * `private`: someone without the right is told 404, not 403. A build of visibility "team" is private to its team and officers whatever the row.
 */
export type PolicyRow =
  | { who: 'public'; private?: false }
  | { who: 'member'; private?: boolean }
  | { who: readonly Role[]; own?: readonly Role[]; private?: boolean }

export type PolicyRows = Record<string, PolicyRow>

/** Who asks: null is a signed-out person. */
export type Asker = { roles: readonly Role[] } | null

export class PolicyTable {
  private readonly rows = new Map<string, PolicyRow>()

  add(source: string, rows: PolicyRows): void {
    for (const [permission, row] of Object.entries(rows)) {
      if (this.rows.has(permission)) throw new Error(`policy: "${permission}" is listed twice (again by ${source})`)
      if (row.who !== 'public' && row.who !== 'member' && row.who.length + (row.own?.length ?? 0) === 0) {
        throw new Error(`policy: nobody may "${permission}" (${source})`)
      }
      this.rows.set(permission, row)
    }
  }

  row(permission: string): PolicyRow {
    const row = this.rows.get(permission)
    if (!row) throw new Error(`policy: "${permission}" is not listed`)
    return row
  }

  has = (permission: string): boolean => this.rows.has(permission)

  permissions = (): string[] => [...this.rows.keys()].sort()

  /** `onTeam`: whether the asker is in the team of the build it is about; leave it out where no build is. */
  may(asker: Asker, permission: string, onTeam = false): boolean {
    const row = this.row(permission)
    if (row.who === 'public') return true
    if (!asker) return false
    if (row.who === 'member') return true
    const any = (roles: readonly Role[]) => roles.some((role) => asker.roles.includes(role))
    return any(row.who) || (onTeam && any(row.own ?? []))
  }
}

/** A build as the guard sees it. */
export type GuardedBuild = { id: string; visibility: 'club' | 'team'; onTeam: boolean }

export type Verdict = 'pass' | 'sign-in' | 'sign-in-needed' | 'not-yours' | 'not-found'

/** The one decision before a route runs. `build`: undefined, the route is about none; null, what the address names does not exist. */
export function judge(table: PolicyTable, asker: Asker, permission: string, isWrite: boolean, build: GuardedBuild | null | undefined): Verdict {
  const row = table.row(permission)
  if (row.who === 'public') return 'pass'
  if (!asker) return isWrite ? 'sign-in-needed' : 'sign-in'
  if (build === null) return 'not-found'
  if (build?.visibility === 'team' && !build.onTeam && !asker.roles.includes('officer')) return 'not-found'
  if (table.may(asker, permission, build?.onTeam)) return 'pass'
  return row.private ? 'not-found' : 'not-yours'
}
