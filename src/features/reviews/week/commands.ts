import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { dateColumn } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { clubWords } from '../../builds/public.ts'
import type { ReviewEdits, ReviewFacts } from '../model.ts'
import { readEdits, shownBy } from './facts/edits.ts'
import { notYet, type Week } from './facts/weeks.ts'
import { draftReview } from './queries/draft.ts'
import { weekOfBuild } from './queries/review.ts'
import { sessionRows } from './queries/rows.ts'

export type SaveReview = { buildId: string; monday: string; /** 0: nobody has saved it yet */ version: number; edits: ReviewEdits }
type Row = { id: string; state: 'draft' | 'signed'; version: number; edits: Prisma.JsonValue; facts: Prisma.JsonValue; signedAt: Date | null }

const json = (value: unknown) => value as Prisma.InputJsonValue

/** What people chose and wrote is kept; the week may still be under way. */
export async function saveDraft(tx: Tx, ctx: Ctx, input: SaveReview): Promise<Result<Done, Refusal>> {
  const asked = await ask(tx, ctx, input)
  if (!asked.ok) return asked
  const { row, week, words } = asked.value
  if (ctx.now < week.from) return refused(422, notBegun(week, words))
  const data = { edits: json(input.edits), draftedBy: ctx.member.id, draftedAt: ctx.now }
  const kept = await keep(tx, input, week, row, data)
  if (!kept.ok) return kept
  await audit(tx, ctx, { what: 'week review saved', entity: 'week_review', entityId: kept.value, buildId: input.buildId, after: { monday: input.monday } })
  return ok({ location: at(input), flash: `The review of ${nameOf(week)} is saved as a draft. Sign it when the week is over.` })
}

/** The facts of that moment and what people chose go into the row together; from then on it never changes. */
export async function signReview(tx: Tx, ctx: Ctx, input: SaveReview): Promise<Result<Done, Refusal>> {
  const asked = await ask(tx, ctx, input)
  if (!asked.ok) return asked
  const { row, week, words } = asked.value
  const sessions = (await sessionRows(tx, { week, zone: ctx.clubZone, now: ctx.now })).filter((s) => !s.isCancelled)
  const why = notYet(ctx.clubZone, week, sessions, ctx.now, words.day)
  if (why !== null) return refused(422, why)
  const drafted = await draftReview(tx, input.buildId, input.monday, ctx.now)
  const facts: ReviewFacts = { ...drafted, signer: ctx.member.name, photos: shownBy(drafted, input.edits).photos }
  const data = {
    edits: json(input.edits), facts: json(facts), state: 'signed' as const, signedBy: ctx.member.id, signedAt: ctx.now,
    ...(row ? {} : { draftedBy: ctx.member.id, draftedAt: ctx.now }),
  }
  const kept = await keep(tx, input, week, row, data)
  if (!kept.ok) return kept
  await audit(tx, ctx, { what: 'week review signed', entity: 'week_review', entityId: kept.value, buildId: input.buildId, after: { monday: input.monday } })
  return ok({ location: at(input), flash: `The review of ${nameOf(week)} is signed and stays as it is.` })
}

const at = ({ buildId, monday }: SaveReview): string => `/builds/${buildId}/reviews/${monday}`
const nameOf = (week: Week): string => `week ${Number(week.isoWeek.slice(6))}`

type Words = ReturnType<typeof clubWords>
const notBegun = (week: Week, words: Words): string => `W${nameOf(week).slice(1)} has not begun: it can be reviewed from ${words.day(week.monday)} on.`

/** The week and its row, locked; refused where it is signed, is no week of hers, or was saved by somebody else meanwhile. */
async function ask(tx: Tx, ctx: Ctx, { buildId, monday, version }: SaveReview): Promise<Result<{ row: Row | null; week: Week; words: Words }, Refusal>> {
  const words = clubWords({ zone: ctx.clubZone, locale: (await tx.club.findUniqueOrThrow({ where: { id: 1 }, select: { locale: true } })).locale }, Math.floor(ctx.now.getTime() / 60_000))
  const week = await weekOfBuild(tx, buildId, monday)
  if (week === null) return refused(422, await beforeStart(tx, buildId, words))
  await tx.$queryRaw`select id from week_review where build_id = ${buildId}::uuid and monday = ${dateColumn(monday)}::date for update`
  const row = await tx.weekReview.findUnique({
    where: { buildId_monday: { buildId, monday: dateColumn(monday) } }, select: { id: true, state: true, version: true, edits: true, facts: true, signedAt: true },
  })
  if (row?.state === 'signed') {
    const { signer } = row.facts as unknown as ReviewFacts
    return refused(422, `This review was signed by ${signer} on ${words.at(Math.floor(row.signedAt!.getTime() / 60_000))} and stays as it is. What it lacks can go into her log.`)
  }
  if ((row?.version ?? 0) !== version) return stale(row)
  return ok({ row, week, words })
}

async function beforeStart(tx: Tx, buildId: string, words: Words): Promise<string> {
  const build = await tx.build.findUnique({ where: { id: buildId }, select: { name: true, startedOn: true } })
  return build ? `${build.name} was started on ${words.day(build.startedOn.toISOString().slice(0, 10))}: no week before that can be reviewed.` : 'This build is not there any more.'
}

function stale(row: Row | null) {
  const { headline, next, lessons, slips } = readEdits(row?.edits)
  const bySlip = Object.entries(slips).flatMap(([key, s]): [string, string][] => [[`cause-${key}`, s.cause], [`words-${key}`, s.words]])
  return refused(409, 'Somebody saved this review while the page was open. Nothing of yours is saved yet.', { current: { headline, next, lessons, ...Object.fromEntries(bySlip) } })
}

type Kept = Pick<Prisma.WeekReviewCreateManyInput, 'edits' | 'facts' | 'state' | 'signedBy' | 'signedAt'> & { draftedBy?: string; draftedAt?: Date }

/** @returns the row's id */
async function keep(tx: Tx, { buildId, monday, version }: SaveReview, week: Week, row: Row | null, data: Kept): Promise<Result<string, Refusal>> {
  if (row) {
    const { count } = await tx.weekReview.updateMany({ where: { id: row.id, version, state: 'draft' }, data: { ...data, version: { increment: 1 } } as Prisma.WeekReviewUncheckedUpdateManyInput })
    return count === 0 ? stale(row) : ok(row.id)
  }
  const { draftedBy, draftedAt, ...rest } = data
  // Of two who begin at once, the other may be first.
  const [made] = await tx.weekReview.createManyAndReturn({
    data: [{ ...rest, buildId, monday: dateColumn(monday), no: week.no, draftedBy: draftedBy ?? '', draftedAt: draftedAt ?? week.until }], skipDuplicates: true, select: { id: true },
  })
  return made ? ok(made.id) : stale(null)
}
