import type { Reader } from '../../../../platform/database.ts'
import { boatView } from '../../../builds/public.ts'
import type { Lever } from '../model.ts'

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
