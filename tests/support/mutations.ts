/** Ways to break one rule of a valid plan. Each gives the broken question and plan, or null where the plan offers no chance. */
import type { NeedOutcome, Piece, Plan } from '../../src/core/schedule/answer.ts'
import type { Problem } from '../../src/core/schedule/problem.ts'
import { celsius, minutes, type Instant } from '../../src/core/units/index.ts'
import { merged } from './clubs-materials.ts'
import type { Dice } from './dice.ts'
import {
  by, oneOf, withPiece, withTask, withResource, withPlace, withGate, withMaterial, withNeed, never, onlyPlan, doingOf, free, of,
  taskOf, isFilm, piece, always, earlier, behind, finish, needed, minutesWorked, lagLink, fewest, rowOf, linkOf, metCoat, washed, outcome, type Mutation,
} from './mutation-parts.ts'

/** Rule that must be reported → the ways to break it. */
export const MUTATIONS: readonly (readonly [rule: string, what: string, mutation: Mutation])[] = [
  ['id', 'a piece is numbered wrongly', piece(always, (p) => ({ id: `${p.taskId}/99` }))],
  ['build', 'a piece is booked on another build', piece(always, () => ({ buildId: 'nobody' }))],
  ['people', 'a piece names a stranger', piece(always, (p) => ({ people: [...p.people, 'zz-stranger'] }))],
  ['people', 'somebody is named twice', piece(always, (p) => ({ people: [p.people[0]!, ...p.people] }))],
  ['times', 'a piece ends in half a minute', piece(always, (p) => ({ end: (p.end - 0.5) as Instant }))],
  ['float', 'a float is below 0', piece(always, () => ({ float: -1 as Piece['float'] }))],
  ['binding', 'a reason names a task that is none', piece(always, () => ({ binding: { kind: 'hands', need: 1, taskId: 'nobody' } }))],
  ['binding', 'a reason names a link to another task', piece(
    (p, problem) => problem.links.some((l) => l.to !== p.taskId && l.from !== p.taskId && (l.kind !== 'window' || l.wash?.id !== p.taskId)),
    (p, problem) => {
      const link = problem.links.find((l) => l.to !== p.taskId && l.from !== p.taskId && (l.kind !== 'window' || l.wash?.id !== p.taskId))!
      return { binding: { kind: 'link', linkId: link.id, taskId: link.from, at: p.start } }
    },
  )],
  ['now', 'a piece starts before now', piece(always, (p, problem) => earlier(p, problem.now - 1))],
  ['horizon', 'the planned time ends a minute before a piece does', (d, problem, plan) => {
    const p = oneOf(d, plan.pieces)
    return p && { plan, problem: { ...problem, horizon: by(p.end, -1) } }
  }],
  ['release', 'a task is released a minute after it starts', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => taskOf(problem, q)))
    return p && { plan, problem: withTask(problem, p.taskId, { release: by(p.start, 1) }) }
  }],
  ['hands', 'a person is dropped', piece(
    (p, problem) => p.people.length === fewest(doingOf(problem, p.taskId).work),
    (p) => ({ people: p.people.slice(1) }),
  )],
  ['hands', 'a piece has more hands than may work on it', piece(
    (p, problem, plan) => {
      const { work } = doingOf(problem, p.taskId)
      return work.kind === 'shared' && work.handsTo < problem.people.length && of(plan, p.taskId).length === 1
    },
    (p, problem) => ({ people: problem.people.map((q) => q.id).sort() }),
  )],
  [
    'work', 'the last piece ends a minute early',
    piece((p, problem, plan) => of(plan, p.taskId).at(-1) === p && minutesWorked(p, problem) > 1, (p) => ({ end: by(p.end, -1) })),
  ],
  ['work', 'the last piece goes on a minute too long', piece((p, _, plan) => of(plan, p.taskId).at(-1) === p, (p) => ({ end: by(p.end, 1) }))],
  ['divided', 'a task in pieces may not be divided', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => of(plan, q.taskId).length > 1 && taskOf(problem, q)))
    return p && { plan, problem: withTask(problem, p.taskId, { smallest: null }) }
  }],
  ['smallest', 'a piece is a minute shorter than the smallest', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => of(plan, q.taskId).at(-1) !== q && taskOf(problem, q)))
    return p && { plan, problem: withTask(problem, p.taskId, { smallest: minutes(minutesWorked(p, problem) + 1) }) }
  }],
  [
    'order', 'two pieces of a task overlap',
    piece(
      (p, _, plan) => of(plan, p.taskId).indexOf(p) > 0,
      (p, _, plan) => ({ start: by(of(plan, p.taskId)[of(plan, p.taskId).indexOf(p) - 1]!.end, -1) }),
    ),
  ],
  ['presence', 'a piece goes on after somebody leaves', piece(always, (p, problem) => earlier(p, p.start + rowOf(problem, p).end + 1 - p.end))],
  [
    'presence', 'a piece begins before somebody comes',
    piece((p, problem) => rowOf(problem, p).start > problem.now, (p, problem) => earlier(p, rowOf(problem, p).start - 1)),
  ],
  ['projected', 'a piece hides, or invents, that presence is assumed', piece(always, (p) => ({ projected: !p.projected }))],
  ['team', 'somebody is planned on a build that isn\'t theirs', (d, problem, plan) => {
    const p = oneOf(d, free(plan))
    return p && {
      plan,
      problem: {
        ...problem, builds: problem.builds.map((b) => (b.id === p.buildId ? { ...b, team: b.team.filter((id) => id !== p.people[0]) } : b)),
        people: problem.people.map((q) => (q.id === p.people[0] ? { ...q, helpsAnyone: false } : q)),
      },
    }
  }],
  ['competence', 'nobody of a piece holds the competence', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => doingOf(problem, q.taskId).competences.length > 0))
    return p && {
      plan, problem: { ...problem, people: problem.people.map((q) => ({ ...q, competences: p.people.includes(q.id) ? [] : q.competences })) },
    }
  }],
  ['competence', 'the competence lapses while the piece goes on', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => doingOf(problem, q.taskId).competences.length > 0))
    const lapse = (q: Problem['people'][number]) => ({ ...q, competences: q.competences.map((c) => ({ ...c, until: by(p!.end, -1) })) })
    return p && { plan, problem: { ...problem, people: problem.people.map((q) => (p.people.includes(q.id) ? lapse(q) : q)) } }
  }],
  ['supervisor', 'a supervised piece has no supervisor', piece((p) => p.supervisor !== null, () => ({ supervisor: null }))],
  ['supervisor', 'the supervisor is not there', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => q.supervisor !== null && !q.people.includes(q.supervisor)))
    return p && { plan, problem: { ...problem, people: problem.people.map((q) => (q.id === p.supervisor ? { ...q, presence: [] } : q)) } }
  }],
  ['double-booked', 'somebody is in two pieces at once', (d, problem, plan) => {
    for (const p of d.shuffled(free(plan))) {
      const other = plan.pieces.find(
        (q) => q !== p && q.taskId !== p.taskId && q.start < p.end && q.end > p.start && q.people.length > 0 &&
          !q.people.some((id) => p.people.includes(id))
      )
      if (other) return onlyPlan(problem, withPiece(plan, p, { people: [...p.people, other.people[0]!].sort() }))
    }
    return null
  }],
  [
    'place', 'a piece is in a place where it may not be',
    piece(always, (p, problem) => ({ placeId: problem.places.find((q) => !doingOf(problem, p.taskId).places.includes(q.id))?.id ?? 'nowhere' })),
  ],
  ['closed', 'the place is shut for the last minute of a piece', (d, problem, plan) => {
    const p = oneOf(d, free(plan))
    return p && { plan, problem: withPlace(problem, p.placeId, (q) => ({ closures: [...q.closures, { start: by(p.end, -1), end: p.end }] })) }
  }],
  ['gate', 'it is too cold for a coat', (_, problem, plan) => {
    if (!free(plan).some((p) => taskOf(problem, p)?.productId === 'epoxy')) return null
    return { plan, problem: withGate(problem, 'epoxy', { minAir: celsius(50), maxAir: null }) }
  }],
  ['gate', 'the air is too near the dew point for a coat', (_, problem, plan) => {
    if (!free(plan).some((p) => taskOf(problem, p)?.productId === 'epoxy')) return null
    return { plan, problem: withGate(problem, 'epoxy', { dewPointMargin: 90 }) }
  }],
  ['dust', 'dust settles until after a coat goes on', (_, problem, plan) => {
    const films = free(plan).filter((p) => isFilm(problem, p))
    const dust = plan.pieces.find((p) =>
      p.placeId !== null && doingOf(problem, p.taskId).dusty && films.some((q) => q.placeId === p.placeId && q.start >= p.end))
    return dust ? { plan, problem: withPlace(problem, dust.placeId, () => ({ settle: minutes(1_000_000) })) } : null
  }],
  ['dust', 'dusty work goes on where a film is wet', (_, problem, plan) => {
    const film = free(plan).find((p) => isFilm(problem, p))
    if (!film) return null
    const dust = free(plan).find((p) => p.placeId === film.placeId && doingOf(problem, p.taskId).dusty)
    return dust ? onlyPlan(problem, withPiece(plan, dust, earlier(dust, film.end + 1))) : null
  }],
  ['resource', 'a tool is not there yet', (d, problem, plan) => {
    const used = oneOf(d, free(plan).flatMap((p) => doingOf(problem, p.taskId).resources.map((r) => ({ p, id: r.resourceId }))))
    return used && { plan, problem: withResource(problem, used.id, { capacity: [{ from: by(used.p.start, 1), count: 100 }] }) }
  }],
  ['resource', 'clamps are taken away while a glue-up cures', (d, problem, plan) => {
    const glued = oneOf(d, free(plan).filter((p) => doingOf(problem, p.taskId).resources.some((r) => r.until === 'handleable')))
    if (!glued) return null
    const capacity = [{ from: by(problem.now, -1), count: 1000 }, { from: by(glued.end, 1), count: 0 }, { from: by(glued.end, 2), count: 1000 }]
    return { plan, problem: withResource(problem, 'clamps', { capacity }) }
  }],
  ['resource', 'the bay a build holds is gone between two pieces', (d, problem, plan) => {
    const isBegunByPlan = (id: string): boolean => of(plan, id)[0]?.fixed === null && problem.tasks.find((t) => t.id === id)!.startedAt === null
    const hold = oneOf(d, problem.holds.filter((h) =>
      isBegunByPlan(h.fromTask) && of(plan, h.toTask).length > 0 && of(plan, h.fromTask)[0]!.start + 1 < finish(plan, h.toTask)))
    if (!hold) return null
    const capacity = [{ from: by(problem.now, -1_000_000), count: 100 }, { from: by(finish(plan, hold.toTask), -1), count: 0 }]
    return { plan, problem: withResource(problem, 'bay', { capacity }) }
  }],
  ['resource-site', 'a tool is used where it can\'t be', (d, problem, plan) => {
    const used = oneOf(d, free(plan).flatMap((p) => doingOf(problem, p.taskId).resources.map((r) => r.resourceId)))
    return used === null ? null : { plan, problem: withResource(problem, used, { siteId: 'far-away' }) }
  }],
  ['material', 'a task starts a minute before its material is there', needed((n, p, problem, plan) => {
    return n.covered <= problem.now ? null : onlyPlan(problem, withPiece(plan, p, earlier(p, n.covered - 1)))
  })],
  ['stock', 'the shelf is emptied before a task that takes from it', needed((n, _, problem, plan) => n.short > 0 ? null : {
    plan, problem: withMaterial(problem, n.materialId, () => ({ supplies: [], leadTime: never(problem) })),
  })],
  ['stock', 'what is on hand turns out unfit for structure', needed((n, _, problem, plan) => !n.structural || n.short > 0 ? null : {
    plan, problem: withMaterial(problem, n.materialId, (m) => ({ supplies: merged(m.supplies.map((s) => ({ ...s, fit: 'any' }))), leadTime: never(problem) })),
  })],
  ['served', 'the shelf holds a little less than what is told to be covered', needed((n, _, problem, plan) => {
    const all = plan.needs.filter((x) => x.materialId === n.materialId)
    if (n.short > 0 || !n.structural || all.some((x) => x.short > 0)) return null
    const taken = all.reduce((sum, x) => sum + x.amount, 0)
    return { plan, problem: withMaterial(problem, n.materialId, () => ({ supplies: [{ at: n.covered, amount: taken - 1, fit: 'structure' }] })) }
  })],
  ['served', 'a delivery takes a day longer than is told', needed((n, _, problem, plan) => n.short === 0 ? null : {
    plan, problem: withMaterial(problem, n.materialId, (m) => ({ leadTime: minutes(m.leadTime + 1440) })),
  })],
  ['served', 'a need is said to be short of a thousandth less', needed((n, _, problem, plan) => n.short === 0 ? null :
    onlyPlan(problem, withNeed(plan, n, { short: n.short - 1 })))],
  ['served', 'a need is said to be covered a minute earlier', needed((n, _, problem, plan) => onlyPlan(problem, withNeed(plan, n, { covered: by(n.covered, -1) })))],
  ['served', 'a build that matters less is served first', (d, problem, plan) => {
    for (const low of d.shuffled(plan.needs.filter((n) => n.short === n.amount && n.amount > 0 && problem.fixed.length === 0))) {
      const of = (n: NeedOutcome) => problem.builds.find((b) => b.id === problem.tasks.find((t) => t.id === n.taskId)!.buildId)!
      const high = plan.needs.find((n) => n.materialId === low.materialId && n.structural && low.structural && n.short === 0 && of(n).priority > of(low).priority)
      if (!high) continue
      const builds = problem.builds.map((b) => (b.id === of(low).id ? { ...b, priority: 1000 } : b))
      return { plan, problem: { ...problem, builds } }
    }
    return null
  }],
  ['needs', 'a need is not told', needed((n, _, problem, plan) => onlyPlan(problem, { ...plan, needs: plan.needs.filter((x) => x !== n) }))],
  ['needs', 'a task takes more than is told', needed((n, p, problem, plan) => ({
    plan, problem: withTask(problem, p.taskId, {
      materials: taskOf(problem, p)!.materials.map((m) => (m.materialId === n.materialId ? { ...m, amount: m.amount + 1 } : m)),
    }),
  }))],
  ['binding', 'a piece is said to wait for material that its task doesn\'t take', piece(always, (p, problem) => ({
    binding: { kind: 'material', materialId: 'feathers', short: 1, at: problem.now },
  }))],
  [
    'finish', 'a task starts a minute before what it waits for is done',
    behind('finish', (p, link, _, plan) => (link.kind === 'finish' ? earlier(p, finish(plan, link.from) + link.lag - 1) : null)),
  ],
  ['stage', 'a task starts before the coat has cured', behind('stage', (p, link, _, plan) => earlier(p, finish(plan, link.from) + 1))],
  ['lag', 'a maximum lag is a minute too short', (_, problem, plan) => {
    const link = lagLink(problem, plan)
    if (!link) return null
    const max = minutes(of(plan, link.to)[0]!.start - finish(plan, link.from) - 1)
    return { plan, problem: { ...problem, links: problem.links.map((l) => (l === link && l.kind === 'lag' ? { ...l, min: null, max } : l)) } }
  }],
  ['lag', 'a minimum lag is a minute too long', (_, problem, plan) => {
    const link = lagLink(problem, plan)
    if (!link) return null
    const min = minutes(of(plan, link.to)[0]!.start - finish(plan, link.from) + 1)
    return { plan, problem: { ...problem, links: problem.links.map((l) => (l === link && l.kind === 'lag' ? { ...l, min, max: null } : l)) } }
  }],
  ['window-silent', 'a window is missed silently', (d, problem, plan) => {
    const told = oneOf(d, plan.met.filter((m) => of(plan, linkOf(problem, m.linkId).to)[0]?.fixed === null))
    return told && onlyPlan(problem, { ...plan, met: plan.met.filter((m) => m !== told) })
  }],
  ['window', 'a missed window is told as met', (d, problem, plan) => {
    const told = oneOf(d, plan.missed.filter((m) => of(plan, linkOf(problem, m.linkId).to).length > 0))
    if (!told) return null
    const met = [...plan.met, { linkId: told.linkId, opens: told.opens!, closes: told.closes }]
    return onlyPlan(problem, { ...plan, met, missed: plan.missed.filter((m) => m !== told) })
  }],
  ['window', 'a coat goes on a minute before its window opens', metCoat((p, told, setUp) => earlier(p, told.opens - setUp - 1))],
  [
    'window', 'a coat is done a minute after its window closes',
    metCoat((p, told, _, clearUp) => (told.closes === null ? null : earlier(p, p.start + told.closes + 1 - (p.end - clearUp)))),
  ],
  ['window', 'a closing is told a minute late', (d, problem, plan) => {
    const told = oneOf(d, plan.met.filter((m) => m.closes !== null && of(plan, linkOf(problem, m.linkId).to)[0]?.fixed === null))
    return told && onlyPlan(problem, { ...plan, met: plan.met.map((m) => (m === told ? { ...m, closes: by(m.closes!, 1) } : m)) })
  }],
  [
    'wash', 'the wash of a missed window is left out',
    washed((wash, problem, plan) => onlyPlan(problem, { ...plan, pieces: plan.pieces.filter((p) => p.taskId !== wash) })),
  ],
  ['wash', 'the wash is done before the coat is sandable', washed((wash, problem, plan, link) => {
    const first = of(plan, wash)[0]!
    return first.fixed === null ? onlyPlan(problem, withPiece(plan, first, earlier(first, finish(plan, link.from) + 1))) : null
  })],
  ['wash', 'a coat goes on before its wash is done', washed((wash, problem, plan, link) => {
    const coat = of(plan, link.to)[0]
    return coat?.fixed === null ? onlyPlan(problem, withPiece(plan, coat, earlier(coat, finish(plan, wash) - 1))) : null
  })],
  ['fixed', 'a fixed piece is moved by a minute', (d, problem, plan) => {
    const p = oneOf(d, plan.pieces.filter((q) => q.fixed !== null))
    return p && onlyPlan(problem, withPiece(plan, p, earlier(p, p.start + 1)))
  }],
  ['fixed', 'a fixed piece is gone without a word', (d, problem, plan) => {
    const p = oneOf(d, plan.pieces.filter((q) => q.fixed !== null))
    return p && onlyPlan(problem, { ...plan, pieces: plan.pieces.filter((q) => q !== p) })
  }],
  ['finished', 'a finished task has a piece', (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => taskOf(problem, q)))
    return p && { plan, problem: withTask(problem, p.taskId, { finished: { start: by(problem.now, -60), end: problem.now, coat: null } }) }
  }],
  ['paused', 'a paused build has pieces', (d, problem, plan) => {
    const p = oneOf(d, free(plan))
    return p && { plan, problem: { ...problem, builds: problem.builds.map((b) => (b.id === p.buildId ? { ...b, paused: true } : b)) } }
  }],
  ['left-out', 'a task is forgotten', (d, problem, plan) => {
    const p = oneOf(d, free(plan))
    return p && onlyPlan(problem, { ...plan, pieces: plan.pieces.filter((q) => q.taskId !== p.taskId) })
  }],
  ['after-unplanned', 'a task is planned although what it waits for is not', (d, problem, plan) => {
    const link = oneOf(d, problem.links.filter((l) => of(plan, l.from).length > 0 && of(plan, l.to)[0]?.fixed === null))
    return link && onlyPlan(
      problem,
      {
        ...plan, pieces: plan.pieces.filter((q) => q.taskId !== link.from),
        unplanned: [...plan.unplanned, { taskId: link.from, reason: { kind: 'horizon' } }],
      },
    )
  }],
  ['unplanned', 'a task is planned and listed as not planned', (d, problem, plan) => {
    const p = oneOf(d, free(plan))
    return p && onlyPlan(problem, { ...plan, unplanned: [...plan.unplanned, { taskId: p.taskId, reason: { kind: 'horizon' } }] })
  }],
  ['launch', 'a launch is told a minute early', outcome((b) => (b.launch === null ? null : { launch: by(b.launch, -1) }))],
  ['bound', 'a bound is above the launch', outcome((b) => (b.launch === null ? null : { lowerBound: by(b.launch, 1) }))],
  ['late', 'lateness is told a minute less', outcome((b) => (b.late > 0 ? { late: minutes(b.late - 1) } : null))],
  ...(['unplanned', 'lateness', 'launches', 'moves', 'brokenUp'] as const).map((field) =>
    ['score', `the score's ${field} is one better than the plan`, (_: Dice, problem: Problem, plan: Plan) =>
      onlyPlan(problem, { ...plan, score: { ...plan.score, [field]: plan.score[field] - 1 } })] as const),
]
