/** Why something meant did not come off, as far as the books say. A person may choose another cause. Pure. */
import { list } from '../../../../../views/shared/times.ts'
import type { MeantLine, Slip } from '../../model.ts'
import { AS_MEANT } from './meant.ts'

/** An item that the task still needed when it was meant to be done. Thousandths. */
export type WantedItem = { item: string; wantMilli: number; thereMilli: number; order: { expectedOn: string; arrivedOn: string | null } | null }
export type ToolOut = { tool: string; why: string }
/** What was measured nearest to the start, where it was outside what the work stands. */
export type Outside = { words: string }

/** What is known of one meant task. Times are epoch minutes. */
export type SlipFacts = {
  line: MeantLine
  /** Hands-on work left when the week began, and when it ended; null: not known, or waiting work. */
  leftBefore: number | null
  leftAfter: number | null
  /** Local day that it was meant for. */
  day: string
  pause: { from: string } | null
  /** Its session was called off. */
  isCalledOff: boolean
  /** Window into it that was missed in the week: the coat before. */
  missed: { after: string; at: number } | null
  /** Comes before it and was not done either. */
  before: readonly string[]
  /** Of the people that it was meant for, how many were there; null: nobody was ticked nor logged an hour then. */
  there: { meant: number; came: number } | null
  wanted: readonly WantedItem[]
  tools: readonly ToolOut[]
  outside: Outside | null
}
export type WeekFacts = {
  workedMin: number
  /** Work that nobody had meant, by task; of it what mended faults. */
  unmeant: readonly { name: string; workedMin: number; snagNo: number | null }[]
  day(iso: string): string
  hours(min: number): string
}

/** Meant tasks that were not finished and got less work than meant, or were meant to be finished by it and weren't. */
export function isSlip({ line, leftBefore }: Pick<SlipFacts, 'line' | 'leftBefore'>): boolean {
  if (line.came === 'finished') return false
  if (line.came !== 'worked') return true
  return leftBefore !== null && leftBefore <= line.meantMin
}

export function slipOf(f: SlipFacts, week: WeekFacts): Slip {
  const { cause, detail } = causeOf(f, week)
  return { key: f.line.key, name: f.line.name, cause, detail, leftMin: f.leftAfter }
}

type Told = Pick<Slip, 'cause' | 'detail'>

/** The first of these that the books show: what shuts work out altogether comes before what makes it slow. */
function causeOf(f: SlipFacts, week: WeekFacts): Told {
  const shut = paused(f, week) ?? longer(f, week) ?? missed(f) ?? waiting(f, week) ?? tool(f) ?? weather(f) ?? calledOff(f)
  return shut ?? after(f) ?? fewer(f) ?? again(week) ?? other(week) ?? nobody(week) ?? { cause: null, detail: '' }
}

const paused = ({ pause }: SlipFacts, { day }: WeekFacts): Told | null => (pause ? { cause: 'pause', detail: `she rests since ${day(pause.from)}` } : null)

function longer({ line }: SlipFacts, { hours }: WeekFacts): Told | null {
  if (line.workedMin < AS_MEANT * line.meantMin || line.workedMin === 0) return null
  return { cause: 'took-longer', detail: `${hours(line.meantMin)} meant, ${hours(line.workedMin)} worked` }
}

const missed = (f: SlipFacts): Told | null => (f.missed ? { cause: 'window', detail: `the film of ${f.missed.after} was too hard for it: it is washed and sanded first` } : null)

function waiting({ wanted, day }: SlipFacts, week: WeekFacts): Told | null {
  const lacking = wanted.filter((w) => w.thereMilli < w.wantMilli)
  // A delivery that was promised says more than a shelf that is empty.
  const first = lacking.find((w) => w.order !== null) ?? lacking[0]
  if (!first) return null
  const { item, order } = first
  if (order === null) return { cause: 'waiting', detail: `there was not enough ${item}, and none was on order` }
  const came = order.arrivedOn === null ? 'is not here yet' : `came on ${week.day(order.arrivedOn)}`
  const due = order.expectedOn > day ? `due on ${week.day(order.expectedOn)}` : `expected by ${week.day(order.expectedOn)}`
  return { cause: 'waiting', detail: `${item}, ${due}, ${came}` }
}

const tool = ({ tools }: SlipFacts): Told | null => (tools.length === 0 ? null : { cause: 'tool', detail: list(tools.map((t) => (t.why === '' ? t.tool : `${t.tool}: ${t.why}`))) })
const weather = ({ outside }: SlipFacts): Told | null => outside && { cause: 'weather', detail: outside.words }
const calledOff = ({ isCalledOff }: SlipFacts): Told | null => (isCalledOff ? { cause: 'fewer-hands', detail: 'the session was called off' } : null)

function fewer({ there }: SlipFacts): Told | null {
  if (there === null || there.came >= there.meant) return null
  return { cause: 'fewer-hands', detail: there.came === 0 ? 'nobody that it was meant for was there' : `${there.came} of ${there.meant} ${there.came === 1 ? 'was' : 'were'} there` }
}

const after = ({ before }: SlipFacts): Told | null => (before.length === 0 ? null : { cause: 'other', detail: `${list(before)} ${before.length === 1 ? 'comes' : 'come'} first` })

function again({ unmeant, hours }: WeekFacts): Told | null {
  const mended = unmeant.filter((u) => u.snagNo !== null && u.workedMin > 0)
  if (mended.length === 0) return null
  return { cause: 'rework', detail: `${hours(mended.reduce((n, u) => n + u.workedMin, 0))} went into ${mended.length === 1 ? 'a fault' : 'faults'} (${list(mended.map((u) => `no. ${u.snagNo}`))})` }
}

function other({ unmeant, hours }: WeekFacts): Told | null {
  const most = unmeant.filter((u) => u.workedMin > 0)
  if (most.length === 0) return null
  return { cause: 'other', detail: `${hours(most.reduce((n, u) => n + u.workedMin, 0))} went into ${list(most.slice(0, 2).map((u) => u.name))}${most.length > 2 ? ' and more' : ''}` }
}

const nobody = ({ workedMin }: WeekFacts): Told | null => (workedMin === 0 ? { cause: 'fewer-hands', detail: 'nobody logged an hour on her' } : null)
