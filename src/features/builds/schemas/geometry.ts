import { z } from 'zod'
import { version } from '../../../platform/form-fields.ts'
import { grade, skill } from './build.ts'

/** What is measured comes as `m.<key>`, read with its list and the club's units. */
export const MeasurementsForm = z.looseObject({ version, grade, skill: skill.optional() })
/** Of one panel or seam; its fields are read with what the list guesses. */
export const GeometryForm = z.looseObject({ version })
