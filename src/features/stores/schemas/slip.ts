import { z } from 'zod'
import { date } from '../../../platform/form-fields.ts'
import { rowsOf } from './buying.ts'

export const SLIP_ROWS = 30
export const SLIP_FIELDS = ['what', 'qty', 'use', 'who', 'on', 'structural'] as const

/** A day's paper slip: rows as they were written. What they name is looked up by the command. */
export const SlipForm = z.object({ date: date('Day of the slip') }).loose().transform(({ date: day, ...typed }) => ({
  date: day,
  rows: rowsOf(typed, SLIP_FIELDS, SLIP_ROWS).map((row, at) => ({ ...row, at })).filter((row) => row.what !== '' || row.qty !== ''),
}))
export type SlipInput = z.output<typeof SlipForm>
