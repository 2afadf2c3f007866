/** A mixing card from an address. Pure. */
import { fromZod, type Typed } from '../../../platform/write.ts'
import type { Result } from '../../../core/result.ts'
import type { MixHints } from '../../../../views/shared/mixing-form.tsx'
import type { MixShown, PotNow } from '../../../../views/shared/mixing-types.ts'
import { MixQuery } from '../schemas/mix.ts'
import { mix, type Mixable, type MixDefaults } from './mix.ts'

export type AskedRefusal = { status: 422; message: string; fields: Record<string, string> }

export function mixAsked(source: Mixable, query: Typed, potNow: PotNow | null = null, defaults: MixDefaults = {}): Result<MixShown, AskedRefusal> {
  // A name that comes twice counts once, as the first.
  const once = Object.fromEntries(Object.entries(query).map(([name, value]) => [name, Array.isArray(value) ? (value[0] ?? '') : value]))
  const asked = MixQuery.safeParse(once)
  if (asked.success) return mix(source, asked.data, potNow, defaults)
  const { fields = {} } = fromZod(asked.error)
  return { ok: false, refusal: { status: 422, message: 'There is no card yet: see the note at the field.', fields } }
}

export const mixHints = ({ limitMg, stepMg, densityA, densityB, strokes }: Mixable): MixHints => ({ limitMg, stepMg, densityA, densityB, strokes })
