/**
 * What the planner is asked: every build of the club at once. Instants are whole minutes from any one origin;
 * the same problem from another origin, or with its arrays in another order, gives the same plan.
 *
 * All intervals are half-open. Ids are unique within their kind; references must resolve (`parseProblem` refuses otherwise).
 *
 * HOW A TASK IS DONE
 * - A piece is one stretch [start, end) of one task, with people, in one place. Its worked minutes are
 *   w = end - start - setUp - clearUp >= 1; its APPLICATION is [start + setUp, end - clearUp).
 * - `shared` work: a piece with h people (handsFrom <= h <= handsTo) does h * w person-minutes. The task is done when the sum
 *   reaches `work`; the last piece is just long enough: w = ceil(left / h).
 * - `together`: fixed minutes with exactly `hands` people (a fixed piece may have more); done when the sum of w reaches `minutes`,
 *   the last piece just long enough.
 * - `unattended`: one piece of exactly `minutes`, nobody, any time, setUp = clearUp = 0 (a delivery, a hire, a published
 *   benchmark's activity). Its place is optional. `minutes` may be 0 (a milestone).
 * - Divisible tasks may have many pieces, each w >= smallest, but the last one may be shorter. Indivisible: exactly one piece.
 *   Pieces of one task never overlap (start order = order of work).
 * - Everybody of a piece is present at the piece's site for the whole of [start, end), within ONE presence row each.
 * - Nobody is in two pieces at once. A person is planned on builds whose `team` has them, or anywhere if `helpsAnyone`.
 * - Each competence asked must be held by somebody of the piece at its start (`until` not passed at the piece's end): level `full`;
 *   or `supervised`, and then piece.supervisor is somebody with level `full` for every competence that is only held supervised,
 *   present at the site throughout, and in no overlapping piece in another place (being one of the hands is fine).
 * - The place is one of task.places, open (no closure overlaps [start, end)), and with someone's presence at its site
 *   (unattended tasks need nobody, also where they have a place).
 * - Resources: amount is taken over [start, end) of each piece, or until the cure stage `until` of this coat if that is later
 *   (a stage that is null keeps it to the horizon). A resource bound to a site can be used only in a piece at that site.
 *   Zero-length pieces take nothing.
 * - Gates (task.gate and, for coats, product.gate) hold at the start of the application, by the climate of the piece's place.
 * - Release: no piece starts before it, nor before problem.now.
 *
 * LINKS
 * - finish: start(to) >= finish(from) + lag.   lag: start(to) - edge(from) within [min, max], hard (start(to) = its first piece's
 *   start; edge = first start or last end of from). Lags may be negative.
 *   A task with `startedAt` began then: as `from` its first start is that instant; as `to` its `max` is history and not asked any more,
 *   while the minimum of any link still keeps its next piece waiting. From an unplanned task no link lets `to` be planned.
 * - stage: start(to) >= instant of the cure stage of the coat `from`; null stage: never (to is unplannable).
 * - window: from and to are coats. Met: application(to).start >= opens(from) and application(to).end <= closes(from)
 *   (closes null: no closing). Missed (only when `wash` is given): the wash task is done from sandable(from) on, and
 *   start(to) >= its finish; no closing then. A window with opens >= closes can only be missed. `wash: null` is a hard window.
 *   A `from` that is finished by fact has known stage instants.
 *
 * HOLDS: from the start of `fromTask` to the finish of `toTask`, amount of the resource is taken in one unbroken stretch, whatever
 * pieces go on; fromTask finished or started by fact: held since then; toTask unplanned: held to the horizon; fromTask unplanned: not held.
 * Capacity that facts already overdraw counts as 0 left, and is no fault of the plan.
 *
 * DUST AND WET, per place: for a dusty piece [a, b) and a coat piece [c, d) of a dustSensitive product with dust-free instant f:
 * a >= f or b + settle <= c. A dust-free stage that the product lacks or never reaches is never. Coats already wet (facts) and dusty work
 * just done (`lastDust`) count too. A coat is not its own wash.
 *
 * MATERIAL: a task that is not finished, of a build not paused, needs `materials`: what it still takes from the stores; washes need none.
 * - Needs are served one task after another: first tasks that have a fixed piece, by their start; then the others by priority of their build
 *   (higher first), then by start, then by build id and task id. Start: of the task's first piece in the plan that has all material free;
 *   a task that this plan leaves out comes last of its kind.
 * - A need takes from the supplies that fit it, earliest first: structural ones from 'structure' only; the others from 'any' as long as there is
 *   some, then from 'structure'. What is not covered is taken as ordered now, here at now + leadTime, fit for structure.
 * - A need is `covered` at the latest arrival of what serves it, and no piece of the task starts before all its needs are. A task that keeps a
 *   fixed piece is exempt: a person said so; it is only shown short.
 *
 * FIXED pieces (frozen, pinned, under way) are kept exactly, or dropped with the reason when a fact makes them impossible. People overrule
 * the planner: more hands, hands from elsewhere and pieces shorter than `smallest` are fine. How a piece began before now is history
 * (links, gate, release); what it does from now on counts. A kept piece of an indivisible task must do its work.
 * Tasks that are `finished` get no pieces. Paused builds get none, but their holds and wet coats stand.
 */
import type { ClimateSteps, Interval, OffsetTable } from '../calendar/types.ts'
import type { ConditionGate, CureProduct, CureStage, StageOverride } from '../cure/types.ts'
import type { Celsius, Instant, Minutes } from '../units/index.ts'

export interface Problem {
  readonly now: Instant
  /** No piece ends after it. */
  readonly horizon: Instant
  /** For local weeks only (moves between plans are told by local day); never for durations. */
  readonly zone: OffsetTable
  readonly people: readonly Person[]
  readonly places: readonly Place[]
  readonly resources: readonly Resource[]
  readonly materials: readonly Material[]
  readonly products: readonly CureProduct[]
  readonly builds: readonly BuildSpec[]
  readonly tasks: readonly TaskSpec[]
  readonly links: readonly Link[]
  readonly holds: readonly Hold[]
  readonly fixed: readonly FixedPiece[]
  /** The plan shown so far: its moves are counted, and it warms the search. */
  readonly previous: readonly PreviousPiece[]
  /** What a missed window costs beside its extra work, in minutes of launch (club setting; default 3 days). */
  readonly missedWindowCost: Minutes
}

export interface Person {
  readonly id: string
  readonly helpsAnyone: boolean
  readonly presence: readonly Presence[]
  readonly competences: readonly HeldCompetence[]
}
export interface Presence extends Interval {
  readonly siteId: string
  /** The session, or null for own hours at home. */
  readonly sessionId: string | null
  /** Assumed from the weekly rhythm beyond the last entered session: pages name the week only. */
  readonly projected: boolean
}
export interface HeldCompetence {
  readonly competenceId: string
  readonly level: 'full' | 'supervised'
  /** Refresh date; null: none. */
  readonly until: Instant | null
}

export interface Place {
  readonly id: string
  readonly siteId: string
  /** Booked out or shut. */
  readonly closures: readonly Interval[]
  readonly climate: ClimateSteps
  /** Added to air temperature for the surface where no surface reading exists (-2: from memory, a setting). */
  readonly surfaceOffset: Celsius
  /** Minutes that dust needs to settle after dusty work before a coat may start. */
  readonly settle: Minutes
  /** End of the last dusty work already done here, or null. */
  readonly lastDust: Instant | null
}

/** A counted thing people queue for: a shared tool, clamps, a bay, a bench. */
export interface Resource {
  readonly id: string
  /** Where it is bound to; null: goes anywhere. */
  readonly siteId: string | null
  /** Count available from each instant on. */
  readonly capacity: readonly { readonly from: Instant; readonly count: number }[]
}

/** An item of the stores that tasks use up. Amounts are whole thousandths of its unit (mg, ul, mm, 1/1000 m2, 1/1000 piece). */
export interface Material {
  readonly id: string
  /** On hand (`at` not after now) and under way. No two with the same `at` and `fit`. */
  readonly supplies: readonly Supply[]
  /** From ordering it to having it. */
  readonly leadTime: Minutes
}
export interface Supply {
  readonly at: Instant
  readonly amount: number
  /** 'any': not for structural needs. */
  readonly fit: 'structure' | 'any'
}
export interface MaterialNeed { readonly materialId: string; readonly amount: number; readonly structural: boolean }

export interface BuildSpec {
  readonly id: string
  /** Weight of its launch in the objective, > 0. */
  readonly priority: number
  readonly launchTarget: Instant | null
  readonly paused: boolean
  readonly team: readonly string[]
  /** The task whose finish is the launch; null: the last finish of all its tasks. */
  readonly launchTaskId: string | null
}

export type Work =
  | { readonly kind: 'shared'; readonly work: Minutes; readonly handsFrom: number; readonly handsTo: number }
  | { readonly kind: 'together'; readonly minutes: Minutes; readonly hands: number }
  | { readonly kind: 'unattended'; readonly minutes: Minutes }

/** The part of a task that a wash-and-sand also has. */
export interface Doing {
  readonly work: Work
  /** Minutes of the smallest piece, or null: not divisible. */
  readonly smallest: Minutes | null
  readonly setUp: Minutes
  readonly clearUp: Minutes
  /** Allowed places, not empty; unattended tasks may have none. */
  readonly places: readonly string[]
  readonly resources: readonly ResourceNeed[]
  readonly competences: readonly string[]
  readonly gate: ConditionGate | null
  readonly dusty: boolean
}
export interface ResourceNeed { readonly resourceId: string; readonly amount: number; readonly until: CureStage | null }

export interface TaskSpec extends Doing {
  readonly id: string
  readonly buildId: string
  readonly release: Instant | null
  /** Cure product of a coat or glue-up (then smallest is null), else null. */
  readonly productId: string | null
  /** What the task still takes from the stores; amounts of equal material and use are added up. */
  readonly materials: readonly MaterialNeed[]
  /** Work still to do, in `work`; facts: */
  readonly startedAt: Instant | null
  readonly finished: Finished | null
}
export interface Finished {
  readonly start: Instant
  readonly end: Instant
  /** For a coat: when and where it really went on, and what people found since. */
  readonly coat: { readonly start: Instant; readonly end: Instant; readonly placeId: string; readonly overrides: readonly StageOverride[] } | null
}

export type Link =
  | { readonly id: string; readonly kind: 'finish'; readonly from: string; readonly to: string; readonly lag: Minutes }
  | { readonly id: string; readonly kind: 'lag'; readonly from: string; readonly to: string; readonly edge: 'start' | 'finish'; readonly min: Minutes | null; readonly max: Minutes | null }
  | { readonly id: string; readonly kind: 'stage'; readonly from: string; readonly to: string; readonly stage: CureStage }
  | { readonly id: string; readonly kind: 'window'; readonly from: string; readonly to: string; readonly wash: Wash | null }

/** The task put in when the window is missed. Its id must be no task's id; it belongs to the build of the link's `to`. */
export interface Wash extends Doing {
  readonly id: string
  /** Already decided by fact: the window was missed, work left is in `work`; done: finished at this instant. */
  readonly state: 'if-missed' | 'missed' | { readonly finished: Instant }
}

export interface Hold { readonly id: string; readonly buildId: string; readonly resourceId: string; readonly amount: number; readonly fromTask: string; readonly toTask: string }

export interface FixedPiece {
  readonly taskId: string
  readonly start: Instant
  readonly end: Instant
  readonly people: readonly string[]
  readonly supervisor: string | null
  readonly placeId: string | null
  readonly why: 'pinned' | 'frozen' | 'under-way'
}
export interface PreviousPiece { readonly taskId: string; readonly start: Instant; readonly end: Instant; readonly people: readonly string[]; readonly placeId: string | null }
