import { cureTable, stageTimes, type StageTimes } from '../../core/cure/index.ts'
import type { Link, Problem } from '../../core/schedule/problem.ts'

/**
 * The earliest start that facts allow each task: after what is finished before it, and not before the film of a coat that is on is
 * ready for it. What isn't finished yet says nothing here.
 */
export function earliestByFacts(problem: Problem): (taskId: string) => number {
  const tasks = new Map(problem.tasks.map((t) => [t.id, t]))
  const into = new Map<string, Link[]>()
  for (const link of problem.links) into.set(link.to, [...(into.get(link.to) ?? []), link])
  const films = new Map<string, StageTimes | null>()
  const filmOf = (id: string): StageTimes | null => {
    if (!films.has(id)) films.set(id, film(problem, id))
    return films.get(id) ?? null
  }
  return (taskId) => {
    let earliest = -Infinity
    for (const link of into.get(taskId) ?? []) {
      const from = tasks.get(link.from)?.finished
      if (!from) continue
      earliest = Math.max(earliest, bound(link, from.end, filmOf(link.from), tasks.get(taskId)?.setUp ?? 0))
    }
    return earliest
  }
}

function bound(link: Link, end: number, film: StageTimes | null, setUp: number): number {
  switch (link.kind) {
    case 'finish':
      return end + link.lag
    case 'lag':
      return link.edge === 'finish' && link.min !== null ? end + link.min : -Infinity
    case 'stage':
      return film?.[link.stage] ?? end
    case 'window':
      // A window that is missed says nothing any more: the wash does.
      return link.wash && link.wash.state !== 'if-missed' ? end : (film?.opens ?? end) - setUp
  }
}

function film(problem: Problem, taskId: string): StageTimes | null {
  const task = problem.tasks.find((t) => t.id === taskId)
  const coat = task?.finished?.coat
  const product = problem.products.find((p) => p.id === task?.productId)
  const place = problem.places.find((p) => p.id === coat?.placeId)
  if (!coat || !product || !place) return null
  return stageTimes(cureTable(product, place.climate, coat.start, problem.horizon), coat.start, coat.end, coat.overrides)
}
