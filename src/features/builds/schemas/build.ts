import { z } from 'zod'
import { id, longText, many, maybeDate, shortText, someNumber, version } from '../../../platform/form-fields.ts'

const about = {
  name: shortText('Name', 80),
  design: z.string().trim().max(200, 'At most 200 characters').default(''),
  placeId: id,
  launchTarget: maybeDate(),
  priority: someNumber('Priority', 0.1, 100),
  visibility: z.enum(['club', 'team']).default('club'),
}
export const EditBuildForm = z.object({ ...about, version })
export const TeamForm = z.object({ team: many(id), version })
export const PauseForm = z.object({ note: longText(300), version })
export const VersionForm = z.object({ version })
export const grade = z.enum(['workboat', 'good', 'show'])
export const skill = z.enum(['first', 'some', 'practised'])

/** The last page of starting a build; measurements, and what each name of the list stands for, come as `m.<key>`, `tool.<name>`, `place.<role>`, `product.<role>`. */
export const StartForm = z.looseObject({ ...about, list: z.string(), grade, skill: skill.default('some'), team: many(id) })
export type StartInput = z.output<typeof StartForm>
