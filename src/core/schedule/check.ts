/**
 * The independent checker: every rule of the problem's header and of the design's work plan, from the words alone. It shares no
 * code with the search, runs on every plan before it is shown, and costs about one sort per person, place and resource.
 *
 * What began before now is history: a kept piece that started earlier is checked for what it still does to the future
 * (presence, double-booking, places and resources from now on), not for how it began.
 */
import type { Fault, Plan } from './answer.ts'
import { checkBindings } from './check/bindings.ts'
import { contextOf } from './check/context.ts'
import { checkLinks } from './check/links.ts'
import { checkMaterials } from './check/materials.ts'
import { checkOutcome } from './check/outcome.ts'
import { checkPeople } from './check/people.ts'
import { checkPieces } from './check/pieces.ts'
import { checkPlaces } from './check/places.ts'
import { checkFixed, checkPlanned } from './check/planned.ts'
import { checkResources } from './check/resources.ts'
import type { Problem } from './problem.ts'

/**
 * Every broken rule of a plan; empty: the plan keeps them all. Both in the same minutes, from any origin.
 * @param problem one whose references resolve (`parseProblem` accepts it)
 */
export function check(problem: Problem, plan: Plan): Fault[] {
  const context = contextOf(problem, plan)
  checkPieces(context)
  checkPeople(context)
  checkPlaces(context)
  checkResources(context)
  checkMaterials(context)
  checkLinks(context)
  checkFixed(context)
  checkPlanned(context)
  checkOutcome(context)
  checkBindings(context)
  return context.faults
}
