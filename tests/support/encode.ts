/**
 * A small problem as a constraint model in the same minutes, from the planner's specification: one build, one place, one temperature,
 * indivisible tasks. The objective is the plan's: launch - now, plus the cost of each missed window.
 */
import type { CureStage } from '../../src/core/cure/types.ts'
import type { Doing, Problem } from '../../src/core/schedule/problem.ts'

interface Job { readonly name: string; readonly doing: Doing; readonly present: string; readonly isCoat: boolean }

/** @param known value of a plan that claims to be possible: only that and better is looked at, which proves as much and is quicker */
export function encode(p: Problem, known: number | null): string {
  const horizon = Math.min(p.horizon - p.now, known ?? Infinity)
  const out: string[] = ['include "cumulative.mzn";']
  const say = (line: string): void => { out.push(line) }
  const washes = p.links.flatMap((l) => (l.kind === 'window' && l.wash ? [{ link: l.id, wash: l.wash }] : []))
  const jobs: Job[] = [
    ...p.tasks.map((t) => ({ name: t.id, doing: t, present: 'true', isCoat: t.productId !== null })),
    ...washes.map(({ link, wash }) => ({ name: `w_${link}`, doing: wash, present: `miss_${link}`, isCoat: false })),
  ]
  for (const { link } of washes) say(`var bool: miss_${link};`)
  for (const job of jobs) declare(p, job, horizon, say)
  people(p, jobs, say)
  resources(p, jobs, say)
  links(p, say)
  dust(p, jobs, say)
  const launch = p.tasks.map((t) => `e_${t.id}`).join(', ')
  const missed = washes.map(({ link }) => `bool2int(miss_${link})`).join(' + ') || '0'
  say(`var 0..${known ?? 2 * horizon + 10 * p.missedWindowCost}: value; constraint value = max([${launch}]) + ${p.missedWindowCost} * (${missed});`)
  say('solve minimize value;')
  return out.join('\n')
}

/** Minutes between application and stage at this even temperature, straight from the Arrhenius rate (form of ASTM C1074, second-hand). */
function lagOf(p: Problem, stage: CureStage): number | null {
  const product = p.products[0]!
  const air = p.places[0]!.climate[0]!.value.air
  const lag = product.stages[stage]
  const times = (lag === null ? [] : [product.filmEnergyLow, product.filmEnergyHigh]).map((energy) =>
    lag! / Math.exp((-energy * 1000 / 8.314) * (1 / (air + 273.15) - 1 / (product.referenceTemp + 273.15))))
  if (stage !== 'closes') return lag === null ? null : Math.ceil(Math.max(...times) - 1e-6)
  const closes = Math.min(...times.map((t) => Math.floor(t + 1e-6)), product.closesCap ?? Infinity)
  return closes === Infinity ? null : closes
}
/** The stage of a coat as an expression: from the end of application, or for the closing from its start. */
const stageOf = (p: Problem, id: string, stage: CureStage): string => {
  const { setUp, clearUp } = p.tasks.find((t) => t.id === id)!
  return stage === 'closes' ? `(s_${id} + ${setUp + lagOf(p, stage)!})` : `(e_${id} - ${clearUp} + ${lagOf(p, stage)!})`
}

function declare(p: Problem, { name, doing, present }: Job, horizon: number, say: (line: string) => void): void {
  const { work, setUp, clearUp } = doing
  say(`var 0..${horizon}: s_${name}; var 0..${horizon}: e_${name};`)
  if (present !== 'true') say(`constraint not ${present} -> (s_${name} = 0 /\\ e_${name} = 0);`)
  if (work.kind === 'unattended') return say(`constraint e_${name} = s_${name} + ${work.minutes};`)
  const [from, to] = work.kind === 'shared' ? [work.handsFrom, work.handsTo] : [work.hands, work.hands]
  const lengths = Array.from(
    { length: to - from + 1 }, (_, i) => setUp + clearUp + (work.kind === 'shared' ? Math.ceil(work.work / (from + i)) : work.minutes),
  )
  const hands = p.people.map((q) => `bool2int(x_${name}_${q.id})`).join(' + ')
  for (const q of p.people) say(`var bool: x_${name}_${q.id};`)
  say(`var ${from}..${to}: h_${name};`)
  say(`constraint ${present} -> (h_${name} = ${hands} /\\ e_${name} = s_${name} + [${lengths.join(', ')}][h_${name} - ${from - 1}]);`)
  if (present !== 'true') say(`constraint not ${present} -> (${hands} = 0 /\\ h_${name} = ${from});`)
}

function people(p: Problem, jobs: readonly Job[], say: (line: string) => void): void {
  const attended = jobs.filter((j) => j.doing.work.kind !== 'unattended')
  for (const q of p.people) {
    for (const { name } of attended) {
      const rows = q.presence.map((r) => `(s_${name} >= ${r.start - p.now} /\\ e_${name} <= ${r.end - p.now})`)
      say(`constraint x_${name}_${q.id} -> (${rows.join(' \\/ ') || 'false'});`)
    }
    attended.forEach((a, i) => attended.slice(i + 1).forEach((b) =>
      say(`constraint (x_${a.name}_${q.id} /\\ x_${b.name}_${q.id}) -> (e_${a.name} <= s_${b.name} \\/ e_${b.name} <= s_${a.name});`)))
  }
}

function resources(p: Problem, jobs: readonly Job[], say: (line: string) => void): void {
  for (const r of p.resources) {
    const users = jobs.flatMap((j) => j.doing.resources.filter((n) => n.resourceId === r.id).map((need) => ({ j, need })))
    if (users.length === 0) continue
    const { from, count } = r.capacity[0]!
    users.forEach(({ j, need }, i) => {
      const until = need.until === null ? `e_${j.name}` : `max(e_${j.name}, ${stageOf(p, j.name, need.until)})`
      say(`var 0..100000: k_${r.id}_${i}; constraint k_${r.id}_${i} = ${until} - s_${j.name};`)
    })
    // Until it arrives, one more user has all of it.
    const starts = [...users.map(({ j }) => `s_${j.name}`), '0']
    const lengths = [...users.map((_, i) => `k_${r.id}_${i}`), String(Math.max(0, from - p.now))]
    const amounts = [...users.map(({ need }) => need.amount), count]
    say(`constraint cumulative([${starts.join(', ')}], [${lengths.join(', ')}], [${amounts.join(', ')}], ${count});`)
  }
}

function links(p: Problem, say: (line: string) => void): void {
  for (const l of p.links) {
    if (l.kind === 'finish') say(`constraint s_${l.to} >= e_${l.from} + ${l.lag};`)
    if (l.kind === 'stage') say(`constraint s_${l.to} >= ${stageOf(p, l.from, l.stage)};`)
    if (l.kind === 'lag') {
      const edge = l.edge === 'start' ? `s_${l.from}` : `e_${l.from}`
      if (l.min !== null) say(`constraint s_${l.to} - ${edge} >= ${l.min};`)
      if (l.max !== null) say(`constraint s_${l.to} - ${edge} <= ${l.max};`)
    }
    if (l.kind !== 'window') continue
    const { setUp, clearUp } = p.tasks.find((t) => t.id === l.to)!
    const opens = stageOf(p, l.from, 'opens')
    const closes = lagOf(p, 'closes') === null ? null : stageOf(p, l.from, 'closes')
    const closing = closes === null ? 'true' : `(e_${l.to} - ${clearUp} <= ${closes} /\\ ${opens} < ${closes})`
    const met = `(s_${l.to} + ${setUp} >= ${opens} /\\ ${closing})`
    if (!l.wash) say(`constraint ${met};`)
    else say(`constraint if miss_${l.id} then s_w_${l.id} >= ${stageOf(p, l.from, 'sandable')} /\\ s_${l.to} >= e_w_${l.id} else ${met} endif;`)
  }
}

function dust(p: Problem, jobs: readonly Job[], say: (line: string) => void): void {
  const settle = p.places[0]!.settle
  for (const coat of jobs.filter((j) => j.isCoat)) {
    for (const job of jobs.filter((j) => j.doing.dusty && j !== coat)) {
      say(`constraint ${job.present} -> (s_${job.name} >= ${stageOf(p, coat.name, 'dustFree')} \\/ e_${job.name} + ${settle} <= s_${coat.name});`)
    }
  }
}
