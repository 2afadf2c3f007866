import type { CureStage } from '../../../src/core/cure/types.ts'
import type { NameBook } from '../../../src/features/planning/model.ts'
import { amount } from '../../shared/format.ts'
import type { PageClub } from '../../shared/page-context.ts'
import { list, type TimeWords } from '../../shared/times.ts'

/** What a sentence is made with: names, the club's clock, and its units (else metric). */
export type Words = { readonly names: NameBook; readonly times: TimeWords; readonly club?: PageClub | null }

const WASH = 'wash:'
const BAY = 'bay:'

/** "Second fill coat", or "the wash and sand before Second fill coat". What is gone, or of a build that is others' alone, is other work. */
export function taskName({ names }: Words, taskId: string): string {
  if (taskId.startsWith(WASH)) {
    const link = names.links.get(taskId.slice(WASH.length))
    const to = link && names.tasks.get(link.to)?.name
    return to ? `the wash and sand before ${to}` : 'a wash and sand'
  }
  return names.tasks.get(taskId)?.name ?? 'other work'
}

export const placeName = ({ names }: Words, id: string | null): string => (id !== null && names.places.get(id)) || 'the workshop'
export const personName = ({ names }: Words, id: string): string => names.people.get(id) ?? 'somebody who left'
export const buildName = ({ names }: Words, id: string): string => names.builds.get(id) ?? 'a build that is gone'
export const competenceName = ({ names }: Words, id: string): string => names.competences.get(id) ?? 'this work'

export const peopleNames = (w: Words, ids: readonly string[]): string => (ids.length === 0 ? 'nobody' : list(ids.map((id) => personName(w, id)).sort()))

/** "Router", or "a bay in Main floor". */
export function resourceName({ names }: Words, id: string): string {
  if (id.startsWith(BAY)) return `a bay in ${names.places.get(id.slice(BAY.length)) ?? 'the workshop'}`
  return names.tools.get(id) ?? 'a tool that is gone'
}

export const itemName = ({ names }: Words, id: string): string => names.items.get(id)?.name ?? 'material that is gone from the stores'

/** "800 g Epoxy resin", from thousandths of the item's unit. */
export function amountOf(w: Words, id: string, thousandths: number): string {
  const item = w.names.items.get(id)
  if (!item) return itemName(w, id)
  return `${amount(thousandths / 1000, item.unit, w.club)}${item.unit === 'pcs' ? ' ×' : ''} ${item.name}`
}

/** What a coat is by then: "… is dust-free". */
export const STAGE: Record<CureStage, string> = {
  workable: 'past working',
  dustFree: 'dust-free',
  opens: 'ready for the next coat',
  closes: 'past its recoat window',
  sandable: 'hard enough to sand',
  handleable: 'hard enough to handle',
  fullCure: 'fully cured',
}
