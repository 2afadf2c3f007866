import { z } from 'zod'
import { isDate, parseHm } from '../../core/calendar/index.ts'
import { parseHours } from '../builds/public.ts'
import { isUuid } from '../../platform/request.ts'

const text = (value: unknown): string => (typeof value === 'string' ? value.trim() : Array.isArray(value) ? String(value[0] ?? '').trim() : '')
const texts = (value: unknown): string[] => (typeof value === 'string' ? [value] : Array.isArray(value) ? value.map(String) : [])

/** What the keyholder says of one piece; times are minutes after local midnight, null: no hours to log. */
export type PieceSaid = {
  readonly at: number
  readonly taskId: string
  readonly buildId: string
  readonly state: 'done' | 'part' | 'not'
  readonly from: number | null
  readonly to: number | null
  readonly people: readonly string[]
  /** Of work left, for a part. */
  readonly leftMin: number | null
}

const TASK = /^(wash:)?[0-9a-f-]{36}$/i
const MOST_PIECES = 100

/** The fields of pieces are p<n>_task, _build, _state, _from, _to, _people, _left; messages go to the very field. */
export const CloseOutForm = z.looseObject({}).transform((raw, c) => {
  const wrong = (path: string, message: string): null => {
    c.addIssue({ code: 'custom', path: [path], message })
    return null
  }
  const numbers = Object.keys(raw).flatMap((key) => /^p(\d{1,3})_task$/.exec(key)?.[1] ?? []).map(Number).sort((a, b) => a - b).slice(0, MOST_PIECES)
  const pieces = numbers.flatMap((at): PieceSaid[] => {
    const field = (name: string) => `p${at}_${name}`
    const taskId = text(raw[field('task')])
    const buildId = text(raw[field('build')])
    const state = text(raw[field('state')])
    if (!TASK.test(taskId) || !isUuid(buildId)) return []
    if (state !== 'done' && state !== 'part' && state !== 'not') {
      wrong(field('state'), 'Say whether it is done, done in part or not done')
      return []
    }
    if (state === 'not') return [{ at, taskId, buildId, state, from: null, to: null, people: [], leftMin: null }]
    const time = (name: string): number | null => {
      const typed = text(raw[field(name)])
      if (typed === '') return null
      return parseHm(typed) ?? wrong(field(name), `A time like 14:30, not “${typed}”`)
    }
    const from = time('from')
    const to = time('to')
    if (from !== null && to !== null && to <= from) wrong(field('to'), 'Ends before it begins')
    if (from === null && text(raw[field('from')]) === '' && to !== null) wrong(field('from'), 'Say from when, or leave both times empty')
    if (to === null && text(raw[field('to')]) === '' && from !== null) wrong(field('to'), 'Say until when, or leave both times empty')
    return [{ at, taskId, buildId, state, from, to, people: texts(raw[field('people')]).filter(isUuid), leftMin: state === 'part' ? left(text(raw[field('left')]), (m) => wrong(field('left'), m)) : null }]
  })
  return { pieces, shedLocked: text(raw['shedLocked']) !== '', wasteSafe: text(raw['wasteSafe']) !== '', note: text(raw['note']).slice(0, 2000) }
})
export type CloseOutInput = z.output<typeof CloseOutForm>

function left(typed: string, wrong: (message: string) => null): number | null {
  if (typed === '') return wrong('Say about how many hours of work are left')
  const parsed = parseHours(typed)
  if (!parsed.ok) return wrong(parsed.message)
  if (parsed.minutes < 1) return wrong('Nothing left? Then it is done')
  return parsed.minutes
}

const maybeId = z.string().optional().transform((id) => (id && isUuid(id) ? id : null))

export const MOST_COAT_MINUTES = 24 * 60
export const OvernightQuery = z.object({
  product: maybeId,
  place: maybeId,
  date: z.string().optional().transform((d) => d?.trim() || null).refine((d) => d === null || isDate(d), 'A date like 2026-05-30'),
  time: z.string().optional().transform((t) => t?.trim() || null).refine((t) => t === null || parseHm(t) !== null, 'A time like 14:30'),
  minutes: z.string().optional().transform((m) => (m?.trim() ? Number(m) : 60))
    .refine((m) => Number.isInteger(m) && m >= 1 && m <= MOST_COAT_MINUTES, 'Whole minutes, at most a day'),
})

export const PinPieceForm = z.object({ piece: z.string().min(1).max(120) })
export const UnpinForm = z.object({ pin: z.string().refine(isUuid, 'This pin is not there any more.') })
export const TakeForm = z.object({
  task: z.string().refine(isUuid, 'This task is not there any more.'),
  start: z.coerce.number().int(),
  end: z.coerce.number().int(),
  back: z.string().default('/'),
})
