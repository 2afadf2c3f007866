import { z } from 'zod'
import { checkbox, time, version } from '../../../platform/form-fields.ts'

export const RemindersForm = z.object({ windows: checkbox, sessions: checkbox, quietFrom: time('Quiet from'), quietTo: time('Quiet until'), version })
export type RemindersInput = z.output<typeof RemindersForm>

export const StopParams = z.object({ stopKey: z.string().regex(/^[\w-]{20,80}$/) })
