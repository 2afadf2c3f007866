import type { Reader } from '../../../../platform/database.ts'
import { boatView } from '../../../builds/public.ts'
import { refused, type Refusal } from '../../../../platform/write.ts'
import type { Result } from '../../../../core/result.ts'
import { changeOf, type Lever } from '../model.ts'

/** What may be varied of a build, as it is now: measurements and choices of her job list. None: she has no list, or her figures don't fit it. */
export async function leversOf(db: Reader, buildId: string): Promise<Lever[]> {
  const asked = await boatView(db, buildId)
  if (!asked.ok) return []
  return asked.value.figures.flatMap(({ def, figure }): Lever[] =>
    // What measured panels and seams say is no matter of choice.
    figure.origin === 'panels' ? [] : [{
      key: def.key, label: def.label, unit: def.unit, choices: def.choices ?? [], min: def.min, max: def.max, leastIfAny: def.leastIfAny ?? null,
      group: def.group, isStructural: def.isStructural ?? false, now: figure.value, isGuess: figure.origin === 'guess',
    }])
}

/** Refuses what can't be chosen any more: measured panels and seams say it by now, so an option would change nothing and be told as if it did. */
export function outOfReach(values: Readonly<Record<string, number>>, levers: readonly Pick<Lever, 'key'>[]): Result<never, Refusal> | null {
  const isGone = Object.keys(values).some((key) => !levers.some((l) => l.key === key))
  return isGone ? refused(422, 'What this sheet varies follows from her measured panels and seams by now, or is not on her job list any more: change the options, or start another sheet. Nothing was changed.') : null
}

/** What has to be written down so that she is as an option says: also what stays as it is now, where its guess would follow another change. */
export async function changeFor(db: Reader, buildId: string, values: Readonly<Record<string, number>>, levers: readonly Lever[]): Promise<Record<string, number>> {
  const change = changeOf(values, levers)
  if (Object.keys(change).length === 0) return change
  const asked = await boatView(db, buildId, { measured: change })
  // What can't be is refused where it is done.
  if (!asked.ok) return change
  const after = new Map(asked.value.figures.map(({ def, figure }) => [def.key, figure.value]))
  return { ...change, ...Object.fromEntries(Object.entries(values).filter(([key, value]) => after.has(key) && after.get(key) !== value)) }
}
