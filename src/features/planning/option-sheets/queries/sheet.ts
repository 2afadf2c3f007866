import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import type { Actor } from '../../../../platform/write.ts'
import type { NameBook } from '../../model.ts'
import { SHOWN } from '../../queries/plans.ts'
import { visibleBuilds } from '../../queries/visible.ts'
import type { Lever, Results, SheetOption } from '../model.ts'
import { presetsFor, type Preset } from '../presets.ts'
import { leversOf } from './levers.ts'

export type SheetBuild = {
  readonly id: string
  readonly name: string
  readonly state: 'active' | 'paused' | 'launched'
  readonly version: number
  readonly hasLaunchTask: boolean
}
export type Taken = { readonly index: number; readonly at: Date; readonly by: string; readonly designerSaid: string }
export type Sheet = {
  readonly id: string
  readonly version: number
  readonly question: string
  readonly options: readonly SheetOption[]
  readonly results: Results | null
  readonly workedAt: Date | null
  readonly taken: Taken | null
  readonly createdBy: string
  readonly createdAt: Date
}
export type SheetPage = {
  readonly build: SheetBuild
  readonly names: NameBook
  /** What the sheet varies, in the order of the job list. */
  readonly levers: readonly Lever[]
  readonly sheet: Sheet
  /** What changed since it was worked out. */
  readonly stale: 'build' | 'plan' | null
}
export type SheetsPage = { readonly build: SheetBuild; readonly sheets: readonly Sheet[]; readonly presets: readonly Preset[]; readonly canVary: boolean }

export async function sheetsPage(db: Reader, buildId: string): Promise<SheetsPage> {
  const build = await sheetBuild(db, buildId)
  const rows = await db.optionSheet.findMany({ where: { buildId }, orderBy: [{ createdAt: 'desc' }, { id: 'asc' }] })
  const names = await memberNames(db, rows)
  const levers = await leversOf(db, buildId)
  return { build, sheets: rows.map((r) => toSheet(r, names)), presets: presetsFor(levers), canVary: levers.length > 0 }
}

export async function sheetPage(db: Reader, member: Actor, buildId: string, sheetId: string): Promise<SheetPage> {
  const build = await sheetBuild(db, buildId)
  const row = found(await db.optionSheet.findFirst({ where: { id: sheetId, buildId } }))
  const sheet = toSheet(row, await memberNames(db, [row]))
  const seen = await visibleBuilds(db, member)
  const none = new Map<string, never>()
  const names: NameBook = { builds: new Map(seen.map((b) => [b.id, b.name])), tasks: none, links: none, people: none, places: none, tools: none, competences: none, items: none }
  const plan = await db.plan.findFirst({ where: { status: { in: SHOWN } }, orderBy: { id: 'desc' }, select: { id: true } })
  const levers = (await leversOf(db, buildId)).filter((l) => l.key in (sheet.options[0]?.values ?? {}))
  return { build, names, levers, sheet, stale: staleOf(sheet.results, build.version, plan?.id ?? null) }
}

function staleOf(results: Results | null, version: number, planId: bigint | null): SheetPage['stale'] {
  if (!results) return null
  if (results.buildVersion !== version) return 'build'
  return results.planId === (planId === null ? null : String(planId)) ? null : 'plan'
}

export async function sheetBuild(db: Reader, buildId: string): Promise<SheetBuild> {
  const { launchTaskId, ...build } = found(await db.build.findUnique({ where: { id: buildId }, select: { id: true, name: true, state: true, version: true, launchTaskId: true } }))
  return { ...build, hasLaunchTask: launchTaskId !== null }
}

type Row = NonNullable<Awaited<ReturnType<Reader['optionSheet']['findFirst']>>>

async function memberNames(db: Reader, rows: readonly Row[]): Promise<Map<string, string>> {
  const ids = rows.flatMap((r) => [r.createdBy, ...(r.takenBy === null ? [] : [r.takenBy])])
  const members = await db.member.findMany({ where: { id: { in: [...new Set(ids)] } }, select: { id: true, name: true } })
  return new Map(members.map((m) => [m.id, m.name]))
}

function toSheet(row: Row, names: ReadonlyMap<string, string>): Sheet {
  const by = (id: string) => names.get(id) ?? 'somebody who left'
  return {
    id: row.id, version: row.version, question: row.question,
    // Written by the commands of this folder from these very types.
    options: row.options as unknown as SheetOption[], results: row.results as unknown as Results | null,
    workedAt: row.workedAt, createdBy: by(row.createdBy), createdAt: row.createdAt,
    taken: row.takenIndex === null || row.takenAt === null || row.takenBy === null ? null : { index: row.takenIndex, at: row.takenAt, by: by(row.takenBy), designerSaid: row.designerSaid },
  }
}
