import { duration } from '../../../../../views/shared/times.ts'
import type { Reader } from '../../../../platform/database.ts'
import { localDate, toDate } from '../../../../platform/times.ts'
import { nothingLogged, washLeft, workLeft, type NeedRange } from '../../../builds/public.ts'
import type { MeantPiece } from '../../../planning/public.ts'
import type { DoneLine, MeantLine, ReviewFacts, Slip } from '../../model.ts'
import { keyOf } from '../facts/meant.ts'
import { isSlip, slipOf, type SlipFacts } from '../facts/slips.ts'
import type { ReviewWords } from '../../../../../views/reviews/review-words.ts'
import { loggedRows, type Asked, type LinkRow, type LoggedRow, type LogRow, type SessionRow, type TaskRow } from './rows.ts'
import { outsideRows, toolRows, wantedRows, type SlippedTask } from './slip-rows.ts'
import { together } from './together.ts'

export type SlipsAsked = {
  lines: readonly MeantLine[]
  pieces: readonly MeantPiece[]
  done: readonly DoneLine[]
  tasks: ReadonlyMap<string, TaskRow>
  links: readonly LinkRow[]
  needs: ReadonlyMap<string, ReadonlyMap<string, NeedRange>>
  sessions: readonly SessionRow[]
  work: readonly LogRow[]
  pause: ReviewFacts['pause']
}

/** Meant pieces that did not come off, each with the cause that the books show. */
export async function slipsOf(db: Reader, asked: Asked, w: ReviewWords, { lines, pieces, done, tasks, links, needs, sessions, work, pause }: SlipsAsked): Promise<Slip[]> {
  const pieceOf = new Map(pieces.toReversed().map((p) => [keyOf(p.taskId, p.washLinkId), p]))
  // A piece that is still to come in a week that is under way has not slipped.
  const due = lines.filter((l) => pieces.some((p) => keyOf(p.taskId, p.washLinkId) === l.key && new Date(p.end) <= asked.asOf))
  const logged = await loggedRows(db, due.flatMap((l) => pieceOf.get(l.key)?.taskId ?? []), asked)
  const slipped = due.map((line) => ({ line, ...leftOf(line, pieceOf.get(line.key)!, tasks, links, logged, asked) })).filter(isSlip)
  if (slipped.length === 0) return []
  const asTasks = slipped.flatMap(({ line }): SlippedTask[] => {
    const piece = pieceOf.get(line.key)!
    const task = tasks.get(piece.taskId)
    return task === undefined || piece.washLinkId !== null ? [] : [{ task, day: localDate(asked.zone, new Date(piece.start)), start: line.start, placeId: piece.placeId }]
  })
  const [wanted, tools, outside] = await together(db, [() => wantedRows(db, asked, asTasks, needs), () => toolRows(db, asTasks), () => outsideRows(db, asked, asTasks, w)])
  const unmeant = done.filter((d) => !d.wasMeant).map((d) => ({ name: d.name, workedMin: d.workedMin, snagNo: tasks.get(d.key)?.mends ?? null }))
  const week = { workedMin: done.reduce((n, d) => n + d.workedMin, 0), unmeant, day: w.day, hours: duration }
  return slipped.map(({ line, leftBefore, leftAfter }) => {
    const piece = pieceOf.get(line.key)!
    const mine = pieces.filter((p) => keyOf(p.taskId, p.washLinkId) === line.key)
    const isWash = piece.washLinkId !== null
    const facts: SlipFacts = {
      line, leftBefore, leftAfter, day: localDate(asked.zone, toDate(line.start)),
      pause: pause !== null && pause.from <= localDate(asked.zone, toDate(line.start)) ? pause : null,
      isCalledOff: mine.every((p) => sessions.some((s) => s.isCancelled && isIn(s, p))),
      missed: isWash ? null : missedInto(links, piece.taskId, asked),
      before: isWash ? [] : links.filter((l) => l.toId === piece.taskId && l.kind !== 'lag' && (l.beforeFinishedAt === null || l.beforeFinishedAt >= asked.asOf)).map((l) => l.before),
      there: thereOf(mine, sessions, work),
      wanted: isWash ? [] : (wanted.get(piece.taskId) ?? []), tools: isWash ? [] : (tools.get(piece.taskId) ?? []), outside: (isWash ? undefined : outside.get(piece.taskId)) ?? null,
    }
    return slipOf(facts, week)
  })
}

type Left = Pick<SlipFacts, 'leftBefore' | 'leftAfter'>

/** Hands-on minutes left of a meant task when the week began and when it ended, by what was logged and said by then. */
function leftOf(line: MeantLine, piece: MeantPiece, tasks: ReadonlyMap<string, TaskRow>, links: readonly LinkRow[], logged: ReadonlyMap<string, LoggedRow>, { week, asOf }: Asked): Left {
  const link = piece.washLinkId === null ? undefined : links.find((l) => l.id === piece.washLinkId)
  if (link) return { leftBefore: null, leftAfter: washLeft(link) }
  const task = tasks.get(piece.taskId)
  if (task === undefined || piece.washLinkId !== null) return { leftBefore: null, leftAfter: null }
  const hands = task.kind === 'together' ? task.handsFrom : 1
  const at = (until: Date, sums = nothingLogged): number | null => {
    if (task.kind === 'unattended') return null
    // What was stated later says nothing of then.
    const stated = task.statedLeftAt !== null && task.statedLeftAt < until ? task.statedLeftMin : null
    return hands * workLeft({ ...task, statedLeftMin: stated, finishedAt: task.finishedAt !== null && task.finishedAt < until ? task.finishedAt : null }, sums)
  }
  const sums = logged.get(piece.taskId)
  return { leftBefore: at(week.from, sums?.before), leftAfter: at(asOf, sums?.until) }
}

const isIn = (s: SessionRow, p: MeantPiece): boolean => new Date(p.start) < s.end && new Date(p.end) > s.start

function missedInto(links: readonly LinkRow[], taskId: string, { week, asOf }: Asked): SlipFacts['missed'] {
  const link = links.find((l) => l.kind === 'window' && l.toId === taskId && l.missedAt !== null && l.missedAt >= week.from && l.missedAt < asOf)
  return link ? { after: link.before, at: Math.floor(link.missedAt!.getTime() / 60_000) } : null
}

/** How many of those it was meant for were there: ticked as here in its session, or with hours in the books then. */
function thereOf(pieces: readonly MeantPiece[], sessions: readonly SessionRow[], work: readonly LogRow[]): SlipFacts['there'] {
  const meant = new Set(pieces.flatMap((p) => p.people))
  if (meant.size === 0) return null
  const around = sessions.filter((s) => pieces.some((p) => isIn(s, p)))
  const ticked = around.flatMap((s) => s.here)
  const worked = work.filter((x) => pieces.some((p) => x.startedAt < new Date(p.end) && x.startedAt.getTime() + x.elapsedMin * 60_000 > Date.parse(p.start)) || around.some((s) => x.startedAt >= s.start && x.startedAt < s.end))
  const here = new Set([...ticked, ...worked.flatMap((x) => x.people.map((p) => p.id))])
  if (here.size === 0) return null
  return { meant: meant.size, came: [...meant].filter((id) => here.has(id)).length }
}
