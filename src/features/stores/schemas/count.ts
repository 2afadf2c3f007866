import { z } from 'zod'
import { longText } from '../../../platform/form-fields.ts'

/** Lots on one count. */
export const COUNT_MOST = 400

/** A lot's row of a count form: its number, what was counted as typed, the explanation, and what the book said when the page was opened. */
export type CountRow = { number: number; counted: string; why: string; book: number }

const one = (value: unknown): string => String((Array.isArray(value) ? value[0] : value) ?? '').trim()

/** `n12`, `w12`, `b12`: of lot 12. Rows left empty are not counted. */
export const CountForm = z.object({ note: longText(300) }).loose().transform(({ note, ...typed }) => ({
  note,
  rows: Object.keys(typed).flatMap((key): CountRow[] => {
    const number = /^n(\d{1,9})$/.exec(key)?.[1]
    if (number === undefined || one(typed[key]) === '') return []
    return [{ number: Number(number), counted: one(typed[key]), why: one(typed[`w${number}`]), book: Number(one(typed[`b${number}`]) || NaN) }]
  }).slice(0, COUNT_MOST),
}))
export type CountInput = z.output<typeof CountForm>
