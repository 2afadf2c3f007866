import type { Ahead } from '../../../src/features/planning/outlook.ts'
import type { BuildStock, NeedView } from '../../../src/features/planning/queries/build-stock.ts'
import type { PartOf, SystemView } from '../../../src/features/planning/queries/outlook.ts'
import type { SheetNeed } from '../../../src/features/planning/queries/sheet.ts'
import type { StockItem } from '../../../src/features/planning/stock-model.ts'
import { stockNeed } from '../../shared/format.ts'
import { list, sentence } from '../../shared/times.ts'
import { buildName, taskName, type Words } from './names.ts'

/** Words, and up to when sessions are entered: beyond, a week is all that can be said. */
export type StockWords = Words & { readonly knownUntil: number; /** The local day that it is. */ readonly today: string }

/** What is planned is an estimate: told as people weigh and count. */
export const much = (w: Words, item: Pick<StockItem, 'unit'>, milli: number): string => stockNeed(milli, item.unit, w.club ?? null)

/** "Thu 21 May", of a local date. */
export function dateWords({ times }: Words, iso: string): string {
  const noon = Date.parse(`${iso}T12:00:00Z`) / 60_000
  const at = times.localDate(noon)
  return times.day(at === iso ? noon : at < iso ? noon + 720 : noon - 720)
}

/** A day, or the week alone where people are only assumed to come. */
export const dayOrWeek = ({ times, knownUntil }: StockWords, t: number): string => (t > knownUntil ? times.week(t) : times.day(t))

/** "Skua: Deck coat"; of a build that is its team's alone, nothing but that. */
export function workName(w: Words, need: { readonly taskId: string; readonly buildId: string }): string {
  return w.names.builds.has(need.buildId) ? `${buildName(w, need.buildId)}: ${taskName(w, need.taskId)}` : 'work on another build'
}

/** "runs out Sat 6 Jun: 800 g is missing for Skua: Deck coat"; null: it does not. */
export function runOutWords(w: StockWords, { item, runOut, needs }: Ahead): string | null {
  if (!runOut) return null
  const need = needs.find((n) => n.taskId === runOut.taskId)
  const when = runOut.at <= w.times.now ? 'is short now' : `runs out ${dayOrWeek(w, runOut.at)}`
  const missing = `${much(w, item, runOut.missing)} is missing for ${need ? workName(w, need) : 'a task'}`
  return `${when}: ${missing}${runOut.until === null ? '' : ` until ${w.times.day(runOut.until - 1)}, when what is on order is here`}`
}

/** "order 3 kg by Thu 21 May"; null: nothing is to be ordered. */
export function orderWords(w: StockWords, { buy, orderBy, isLate, item, arrives }: Ahead): string | null {
  if (buy <= 0) return null
  if (orderBy === null || isLate) return `order ${much(w, item, buy)} now; ordered today, it is here ${dateWords(w, arrives)}`
  return orderBy === w.today ? `order ${much(w, item, buy)} today` : `order ${much(w, item, buy)} by ${dateWords(w, orderBy)}`
}

/** What is there and on order, as the subject of a sentence. */
export function thereWords(w: StockWords, { item, there, onOrder, orders }: Ahead): string {
  const total = there.fresh + there.notStructural
  const overdue = orders.filter((o) => o.isOverdue)
  const parts = [
    total === 0 ? `No ${item.name} is there` : `${much(w, item, total)} ${item.name} is there`,
    there.notStructural > 0 && there.fresh > 0 ? `${much(w, item, there.notStructural)} of it not for structure` : '',
    total > 0 && there.fresh === 0 ? 'none of it for structure' : '',
    onOrder > 0 ? `${much(w, item, onOrder)} is on order` : '',
  ].filter(Boolean)
  const late = overdue.length > 0 ? ` Order ${list(overdue.map((o) =>
    String(o.number)))} was expected ${dateWords(w, overdue[0]!.due)} and is not here yet: ask the supplier.` : ''
  const test = there.testFirst > 0 ? ` ${much(w, item, there.testFirst)} more is past its date and counts once somebody has tested it.` : ''
  return `${sentence(list(parts))}${late}${test}`
}

/** What the plan asks for and whether that is there. */
function needWords(w: StockWords, a: Ahead): string {
  const { item, needs, needed, undated, runOut, steps, fallsAt } = a
  const last = Math.max(0, ...needs.map((n) => n.at ?? 0))
  if (needed === 0) return ''
  const asks = `The plan asks for ${much(w, item, needed)} up to ${dayOrWeek(w, last)}`
  const left = steps.at(-1)?.level ?? 0
  const out = runOutWords(w, a)
  const isLow = runOut === null && fallsAt !== null
  const safety = isLow ? ` From ${dayOrWeek(w, fallsAt)} on that is less than the safety stock of ${much(w, item, item.safetyMilli)}.` : ''
  const more = undated > 0 ? ` ${much(w, item, undated)} more is for work that has no day in the plan yet.` : ''
  const covered = `all of it is covered; ${much(w, item, Math.max(0, left))} is left then`
  return `${sentence(out ? `${asks}; the stock ${out}` : `${asks}, and ${covered}`)}${waitsWords(w, a)}${safety}${more}`
}

/** Stock is promised by priority: not always is it the work at the run-out that waits. */
function waitsWords(w: StockWords, { needs, runOut }: Ahead): string {
  const waits = needs.filter((n) => n.at !== null && n.short > 0).toSorted((a, b) => (a.at ?? 0) - (b.at ?? 0))[0]
  if (!runOut || !waits || waits.taskId === runOut.taskId) return ''
  return ` As stock is promised by the builds’ priority, it is ${workName(w, waits)} that waits, wanted ${dayOrWeek(w, waits.at ?? 0)}.`
}

/** "500 g would be left when its day has passed (Mon 3 Aug)" */
export const pastDateWords = (w: StockWords, { item }: Pick<Ahead, 'item'>, lot: { readonly left: number; readonly lastDay: string }): string =>
  `${much(w, item, lot.left)} would be left of it after its last day, ${dateWords(w, lot.lastDay)}, and must be tested then`

/** Of an item that no task asks for: how fast it goes, and when to order. */
function useWords(w: StockWords, { item, needed, undated, reorder, fallsAt }: Ahead): string {
  if (needed > 0) return ''
  if (undated > 0) return `${much(w, item, undated)} is for work that has no day in the plan yet.`
  const none = 'No task asks for it.'
  const low = fallsAt !== null ? ` That is less than the safety stock of ${much(w, item, item.safetyMilli)}.` : ''
  if (!reorder) return `${none}${low}`
  // No false precision: tenths of the unit.
  const week = much(w, item, Math.round((reorder.perDay * 7) / 100) * 100)
  const lasts = Math.floor(reorder.position / reorder.perDay / 7)
  const went = `About ${week} a week went out in the last ${Math.round(reorder.days / 7)} weeks`
  return `${none}${low} ${went}; what is there and on order lasts about ${lasts === 1 ? '1 week' : `${lasts} weeks`}. ` +
    `Its reorder point is ${much(w, item, reorder.point)}.`
}

/** The whole of an item's outlook in sentences. */
export function levelSentence(w: StockWords, a: Ahead): string {
  const order = orderWords(w, a)
  return [thereWords(w, a), needWords(w, a), useWords(w, a), order ? sentence(order) : ''].filter(Boolean).join(' ')
}

/** A shortage of one part of a system is a shortage of the system. */
export function systemWords(w: StockWords, own: Ahead, { names, other }: PartOf): string | null {
  const name = list(names)
  const none = names.length < 3 ? names.join(' or ') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`
  const [mine, its] = [own.runOut, other.runOut]
  if (!mine && !its) return null
  if (its && (!mine || its.at < mine.at)) {
    const first = `It is one part of ${name}. The other, ${other.item.name}, ${runOutWords(w, other)}.`
    return `${first} Without it there is no ${none}, however much ${own.item.name} there is.`
  }
  return `It is one part of ${name}: when it runs out there is no ${none}, however much ${other.item.name} there is.`
}

/** "A, B and 3 more" */
export function shortList(names: readonly string[], most = 4): string {
  const unique = [...new Set(names)]
  return unique.length <= most + 1 ? list(unique) : `${unique.slice(0, most).join(', ')} and ${unique.length - most} more`
}

/** What the whole list says. */
export function outlookSentence(w: StockWords, items: readonly Ahead[], until: number): string {
  const out = items.filter((a) => a.runOut)
  const order = items.filter((a) => a.buy > 0)
  const up = `up to ${w.times.day(until)}`
  if (out.length === 0 && order.length === 0) return `All that the plan asks for ${up} is there or on order, and no item is below its safety stock.`
  const first = out.toSorted((a, b) => (a.runOut?.at ?? 0) - (b.runOut?.at ?? 0))[0]
  const next = order.toSorted((a, b) => ((a.orderBy ?? '') < (b.orderBy ?? '') ? -1 : 1))[0]
  const runs = first
    ? `${out.length === 1 ? 'One item runs' : `${out.length} items run`} out ${up}; ${out.length === 1
      ? 'it is' : 'the first is'} ${first.item.name}, which ${runOutWords(w, first)}.`
    : `Nothing that the plan asks for runs out ${up}.`
  const orders = next ? ` ${order.length === 1 ? 'One item is' : `${order.length} items are`} to be ordered: ${order.length === 1
    ? '' : 'first '}${next.item.name}: ${orderWords(w, next)}.` : ' What is missing is on order.'
  return runs + orders
}

/** When a system runs out: with the first of its parts. */
export function systemRunOut(w: StockWords, resin: Ahead, hardener: Ahead): string | null {
  const first = [resin, hardener].filter((a) => a.runOut).toSorted((a, b) => (a.runOut?.at ?? 0) - (b.runOut?.at ?? 0))[0]
  return first ? `${first.item.name} ${runOutWords(w, first)}` : null
}

/** "3.2 kg; Hardener sets the limit", of what is fit for structure. */
export function mixableWords(w: StockWords, { mixable, resin, hardener }: Pick<SystemView, 'mixable' | 'resin' | 'hardener'>): string {
  if (!mixable) return 'not known: its ratio is not entered'
  const amount = much(w, { unit: 'g' }, mixable.mg)
  return mixable.by === null ? amount : `${amount}; ${(mixable.by === 'resin' ? resin : hardener).item.name} sets the limit`
}

/** Where needs of a task stand that stand alike: "45 g Epoxy hardener and 90 g Epoxy resin: there". */
export function coverWords(w: StockWords, needs: readonly NeedView[]): string {
  const first = needs[0]
  if (!first) return ''
  const here = w.times.day(first.covered - 1)
  const part = (n: NeedView): string => (n.short > 0 && n.short < n.milli ? `${much(w, n.item, n.short)} of ` : '')
  const what = list(needs.map((n) => `${part(n)}${much(w, n.item, n.milli)} ${n.item.name}`))
  switch (first.cover) {
    case 'there':
      return `${what}: there`
    case 'coming':
      return `${what}: on order, here ${here}`
    case 'late':
      return `${what}: on order, but here only ${here}${first.at === null ? '' : '; the work waits for it'}`
    case 'short':
      return `missing: ${what}; ordered today, here ${here}`
  }
}

/** What is left covers the foils but not the decks. A phase that is covered throughout, or not at all, stands for its tasks. */
export function buildCoverSentence(w: StockWords, { build, phases, items }: Pick<BuildStock, 'build' | 'phases' | 'items'>): string {
  const good: string[] = []
  const bad: string[] = []
  for (const { name, tasks } of phases) {
    const open = tasks.filter((t) => !t.isCovered)
    if (open.length === 0) good.push(name)
    else if (open.length === tasks.length) bad.push(name)
    else {
      good.push(...tasks.filter((t) => t.isCovered).map((t) => taskName(w, t.taskId)))
      bad.push(...open.map((t) => taskName(w, t.taskId)))
    }
  }
  const missing = items.filter((i) => i.short > 0).map((i) => `${much(w, i.item, i.short)} ${i.item.name}`)
  if (bad.length === 0) return `What is there and on order covers all that ${build.name} still takes.`
  const why = missing.length > 0 ? `${shortList(missing)} ${missing.length === 1
    ? 'is' : 'are'} missing` : 'what is on order for it comes after it is wanted'
  if (good.length === 0) return `What is left does not cover ${shortList(bad)}: ${why}.`
  return `What is left covers ${shortList(good)}, but not ${shortList(bad)}: ${why}.`
}

/** "800 g Epoxy resin (shelf B2)", and where it stands unless all of it is there. */
export function sheetNeedWords(w: Words, { name, unit, shelf, milli, short, covered, cover }: Omit<SheetNeed, 'itemId'>): string {
  const amount = much(w, { unit }, milli)
  const where = shelf === '' ? '' : ` (shelf ${shelf})`
  if (cover === 'there') return `${amount} ${name}${where}`
  if (cover === 'short') return `${amount} ${name}${where}: ${much(w, { unit }, short)} of it is missing`
  return `${amount} ${name}${where}: on order, here ${w.times.day(covered - 1)}`
}

/** What runs out or must be ordered within days, for the noticeboard. */
export function soonWords(w: StockWords, a: Ahead): string {
  return `${a.item.name}: ${[runOutWords(w, a), orderWords(w, a)].filter(Boolean).join('; ')}`
}
