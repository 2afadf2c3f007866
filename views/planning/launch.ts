import type { LaunchView } from '../../src/features/planning/queries/shown.ts'
import { launchDay, type Words } from './words.ts'

/** When she is launched as planned, what no plan can beat, and the target. */
export function launchText(w: Words, { build, launch, lowerBound, late }: LaunchView): string {
  if (build.state === 'paused') return 'paused'
  if (launch === null) return `no launch date yet: something before the launch can’t be planned${targetText(w, build.launchTarget)}`
  const bound = lowerBound === null ? '' : `; no plan launches her before ${launchDay(w, { start: lowerBound, projected: launch.projected })}`
  const over = late > 0 ? `, ${Math.ceil(late / 1440)} ${late > 1440 ? 'days' : 'day'} beyond her target` : ''
  return `${launchDay(w, launch)}${over}${bound}${targetText(w, build.launchTarget)}`
}

function targetText({ times }: Words, target: string | null): string {
  // Noon of that day lies within it in every zone.
  return target === null ? '' : `; wanted by ${times.day(Date.parse(`${target}T12:00:00Z`) / 60_000)}`
}
