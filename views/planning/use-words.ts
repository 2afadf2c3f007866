import type { NameBook } from '../../src/features/planning/model.ts'
import { usePage } from '../shared/page-context.ts'
import { timeWords } from '../shared/times.ts'
import type { Words } from './words.ts'

/** What this page makes its sentences with. */
export function useWords(names: NameBook): Words {
  const { club, now } = usePage()
  return { names, times: timeWords(club, now), club }
}
