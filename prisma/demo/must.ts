import type { Result } from '../../src/core/result.ts'
import type { Refusal } from '../../src/platform/write.ts'

/** The example club does nothing that is refused; where it is, the story is wrong. */
export function must<T>(result: Result<T, Refusal>, what: string): T {
  if (!result.ok) throw new Error(`the example club: ${what} was refused: ${JSON.stringify(result.refusal)}`)
  return result.value
}
