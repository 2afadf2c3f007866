/** Links of all kinds; every window told as met or missed, and kept. */
import type { Instant } from '../../units/index.ts'
import type { MetWindow, MissedWindow } from '../answer.ts'
import type { Link } from '../problem.ts'
import { finishOf, isHistory, startOf, type Context, type Job, type WindowLink } from './context.ts'

export function checkLinks(c: Context): void {
  for (const link of c.problem.links) {
    const from = c.jobs.get(link.from)!
    const to = c.jobs.get(link.to)!
    if (link.kind === 'lag') lag(c, link, from, to)
    const first = to.pieces[0]
    if (!first || to.done || isHistory(c.problem, first)) continue
    if (link.kind === 'finish') {
      const finish = finishOf(from)
      if (finish !== null && first.start < finish + link.lag) {
        c.fault(
          'finish', first,
          `${first.id} starts at ${c.when(first.start)}; by link ${link.id} it waits for ${from.id} until ${c.when(finish + link.lag)}.`,
        )
      }
    }
    if (link.kind === 'stage') {
      const at = c.stage(from, link.stage)
      if (at === null) c.fault('stage', first, `${first.id} is planned, but the ${link.stage} stage of ${from.id} that it waits for never comes.`)
      else if (at !== undefined && first.start < at) {
        c.fault('stage', first, `${first.id} starts at ${c.when(first.start)}, before the ${link.stage} stage of ${from.id} at ${c.when(at)}.`)
      } else if (at === undefined) afterFinish(c, from, to)
    }
  }
  checkWindows(c)
}

/** Where nobody wrote down how a coat went on, what follows still comes after it. */
function afterFinish(c: Context, from: Job, to: Job): void {
  const finish = finishOf(from)
  const first = to.pieces[0]!
  if (finish !== null && first.start < finish) c.fault('finish', first, `${first.id} starts before ${from.id} is finished.`)
}

function lag(c: Context, link: Extract<Link, { readonly kind: 'lag' }>, from: Job, to: Job): void {
  const start = startOf(to)
  const begun = from.done ? null : from.task?.startedAt ?? null
  const edge = link.edge === 'start' ? begun ?? startOf(from) : finishOf(from)
  if (start === null || edge === null || (from.done && to.done)) return
  const first = to.done ? from.pieces[0] : to.pieces[0]
  if (!first || isHistory(c.problem, first)) return
  // Done too early already, whatever comes: a fact, not a fault of the plan.
  if (to.done && link.min !== null && to.done.start - link.min < c.problem.now) return
  const after = start - edge
  const what = `${to.id} starts ${after} minutes after the ${link.edge} of ${from.id}`
  if (link.min !== null && after < link.min) c.fault('lag', first, `${what}; link ${link.id} asks for at least ${link.min}.`)
  // A task begun by fact began in time or not; its rest may come later.
  if (link.max !== null && after > link.max && (to.task?.startedAt ?? null) === null) {
    c.fault('lag', first, `${what}; link ${link.id} allows at most ${link.max}.`)
  }
}

function checkWindows(c: Context): void {
  const links = new Map(c.windows.map((l) => [l.id, l]))
  const told = new Map<string, 'met' | 'missed'>()
  for (const [kind, entries] of [['met', c.plan.met], ['missed', c.plan.missed]] as const) {
    for (const { linkId } of entries) {
      if (!links.has(linkId)) c.fault('window', null, `A window ${kind} is told of ${linkId}, which is no window.`)
      else if (told.has(linkId)) c.fault('window', null, `The window ${linkId} is told twice.`)
      told.set(linkId, kind)
    }
  }
  const met = new Map(c.plan.met.map((m) => [m.linkId, m]))
  const missed = new Map(c.plan.missed.map((m) => [m.linkId, m]))
  for (const link of c.windows) {
    const from = c.jobs.get(link.from)!
    const to = c.jobs.get(link.to)!
    if (to.done || to.paused) continue
    const isMissed = missed.get(link.id)
    checkWash(c, link, isMissed)
    const coat = to.pieces[0]
    const planned = coat !== undefined && (from.done !== null || from.pieces.length > 0)
    if (!planned) {
      if (met.has(link.id)) c.fault('window', null, `The window ${link.id} is told as met, but its coats are not both planned.`)
      continue
    }
    if (isHistory(c.problem, coat)) continue
    const opens = c.stage(from, 'opens')
    const closes = c.stage(from, 'closes')
    if (opens === undefined || closes === undefined) {
      afterFinish(c, from, to)
      continue
    }
    const isMet = met.get(link.id)
    if (isMissed) checkMissed(c, link, isMissed, from, to, opens, closes)
    else if (isMet) checkMet(c, link, isMet, to, opens, closes)
    else c.fault('window-silent', coat, `The window ${link.id} from ${link.from} to ${link.to} is told neither as met nor as missed.`)
  }
}

const isShut = (opens: Instant | null, closes: Instant | null): boolean => opens === null || (closes !== null && opens >= closes)

function checkMet(c: Context, link: WindowLink, told: MetWindow, to: Job, opens: Instant | null, closes: Instant | null): void {
  const coat = to.pieces[0]!
  if (told.opens !== opens || told.closes !== closes) {
    c.fault('window', coat, `The window ${link.id} is told as ${span(c, told.opens, told.closes)}; it is ${span(c, opens, closes)}.`)
  }
  if (isDecided(link)) c.fault('window', coat, `The window ${link.id} was already missed, but is told as met.`)
  const start = coat.start + to.doing.setUp
  const end = coat.end - to.doing.clearUp
  if (opens === null || isShut(opens, closes)) {
    c.fault('window', coat, `${coat.id} can't meet the window ${link.id}: it never opens, or not before it closes.`)
  } else if (start < opens) c.fault('window', coat, `${coat.id} goes on at ${c.when(start)}; the window ${link.id} opens at ${c.when(opens)}.`)
  else if (closes !== null && end > closes) {
    c.fault('window', coat, `${coat.id} is on at ${c.when(end)}; the window ${link.id} closes at ${c.when(closes)}.`)
  }
}

function checkMissed(
  c: Context, link: WindowLink, told: MissedWindow, from: Job, to: Job, opens: Instant | null, closes: Instant | null,
): void {
  const coat = to.pieces[0]!
  if (link.wash === null) return c.fault('window', coat, `The window ${link.id} is told as missed, but nothing helps then.`)
  if (told.opens !== opens || told.closes !== closes) {
    c.fault('window', coat, `The missed window ${link.id} is told as ${span(c, told.opens, told.closes)}; it is ${span(c, opens, closes)}.`)
  }
  const isFact = isDecided(link) || (from.done !== null && closes !== null && closes < c.problem.now)
  if (told.why === 'fact' ? !isFact : isDecided(link)) {
    c.fault('window', coat, `The window ${link.id} ${isFact ? 'was' : 'was not'} missed already, but the plan says otherwise.`)
  }
  if (told.why === 'no-window' ? !isShut(opens, closes) : isShut(opens, closes) && !isFact) {
    c.fault('window', coat, `The window ${link.id} is told as missed because of "${told.why}"; it is ${span(c, opens, closes)}.`)
  }
  const wash = c.jobs.get(link.wash.id)!
  const washed = finishOf(wash)
  if (washed === null) c.fault('wash', coat, `${coat.id} comes after the missed window ${link.id}, but ${wash.id} is not planned.`)
  else if (coat.start < washed) c.fault('wash', coat, `${coat.id} starts at ${c.when(coat.start)}, before ${wash.id} is done at ${c.when(washed)}.`)
}

const isDecided = (link: WindowLink): boolean => link.wash !== null && link.wash.state !== 'if-missed'

/** A wash is done only for a missed window, from sandable on. */
function checkWash(c: Context, link: WindowLink, told: MissedWindow | undefined): void {
  if (link.wash === null) return
  if (told && told.washTaskId !== link.wash.id) {
    c.fault('wash', null, `The missed window ${link.id} names ${told.washTaskId} as its wash; it is ${link.wash.id}.`)
  }
  const wash = c.jobs.get(link.wash.id)!
  const first = wash.pieces[0]
  if (!first) return
  if (!told && link.wash.state === 'if-missed') return c.fault('wash', first, `${first.id} washes for the window ${link.id}, which is not missed.`)
  if (isHistory(c.problem, first)) return
  const sandable = c.stage(c.jobs.get(link.from)!, 'sandable')
  if (sandable === null || (sandable !== undefined && first.start < sandable)) {
    c.fault(
      'wash', first,
      `${first.id} starts at ${c.when(first.start)}; ${link.from} is sandable ${sandable === null ? 'never' : `at ${c.when(sandable)}`}.`,
    )
  }
}

const span = (c: Context, opens: Instant | null, closes: Instant | null): string =>
  `open from ${opens === null ? 'never' : c.when(opens)} to ${closes === null ? 'whenever' : c.when(closes)}`
