import { z } from 'zod'
import { addDays, weekdayOf } from '../../../core/calendar/index.ts'
import { checkbox, date, endTime, id, longText, maybeDate, maybeEnd, maybeId, maybeTime, time, version, weekday, wholeNumber } from '../../../platform/form-fields.ts'

/** Sessions of one series entered at once. */
export const SESSIONS_MAX = 60

type Issues = { addIssue(issue: { code: 'custom'; path: string[]; message: string }): void }
/** A stretch of one day: its end is later than its beginning. */
export function inOrder(starts: string | null, ends: string | null, c: Issues, field = 'ends'): void {
  if (starts !== null && ends !== null && starts >= ends) {
    c.addIssue({ code: 'custom', path: [field], message: `Ends ${ends}: that is not after ${starts}; choose a later time (a night past midnight is two sessions)` })
  }
}

const hours = { starts: time('Starts'), ends: endTime('Ends') }
const about = { siteId: id, keyholderId: maybeId, title: longText(120), note: longText(1000) }

export const NewSessionForm = z
  .object({
    ...about, ...hours, date: date('Date'),
    repeat: z.enum(['once', 'weekly'], { error: 'Choose one' }).default('once'),
    everyWeeks: z.string().regex(/^[1-8]$/, 'Every how many weeks: 1 to 8').default('1').transform(Number),
    untilOn: maybeDate('Until'), goesOn: checkbox, skipTaken: checkbox,
  })
  .superRefine((typed, c) => {
    inOrder(typed.starts, typed.ends, c)
    if (typed.repeat === 'once') return
    if (typed.untilOn === null) c.addIssue({ code: 'custom', path: ['untilOn'], message: 'Until: say up to when sessions are entered; the rhythm may still be assumed to go on after it' })
    else checkSpan(typed.date, typed.untilOn, typed.everyWeeks, c)
  })
export type NewSession = z.output<typeof NewSessionForm>

function checkSpan(fromOn: string, untilOn: string, everyWeeks: number, c: Issues): void {
  if (untilOn < fromOn) return c.addIssue({ code: 'custom', path: ['untilOn'], message: 'Until: before the first session; choose a later date' })
  if (addDays(fromOn, 7 * everyWeeks * SESSIONS_MAX) <= untilOn) {
    c.addIssue({ code: 'custom', path: ['untilOn'], message: `Until: at most ${SESSIONS_MAX} sessions are entered at once; more can follow later` })
  }
}

export const EditSessionForm = z
  .object({ ...about, ...hours, date: date('Date'), version })
  .superRefine((typed, c) => inOrder(typed.starts, typed.ends, c))
export type EditSession = z.output<typeof EditSessionForm>

export const CancelForm = z.object({ version, note: longText(1000) })

/** The series as it is to be from a date on. */
export const SeriesForm = z
  .object({
    name: longText(120), fromOn: date('From'), weekday, ...hours, everyWeeks: wholeNumber('Every how many weeks', 1, 8), keyholderId: maybeId,
    untilOn: date('Until'), goesOn: checkbox, skipTaken: checkbox, version,
  })
  .superRefine((typed, c) => {
    inOrder(typed.starts, typed.ends, c)
    checkSpan(typed.fromOn, typed.untilOn, typed.everyWeeks, c)
  })
export type SeriesChange = z.output<typeof SeriesForm>
export const EndSeriesForm = z.object({ fromOn: date('From'), version })

/** The page that was answered on, to go back to. */
const back = z.enum(['list', 'page']).default('page')
/** 'clear' takes an answer back: usual attendance counts again. */
export const AnswerForm = z
  .object({ back, memberId: maybeId, answer: z.enum(['coming', 'not_coming', 'clear'], { error: 'Say whether you come' }), fromTime: maybeTime('From'), toTime: maybeEnd('To') })
  .superRefine((typed, c) => {
    if (typed.fromTime !== null && typed.toTime !== null && typed.fromTime >= typed.toTime) {
      c.addIssue({ code: 'custom', path: ['toTime'], message: `To ${typed.toTime}: that is not after ${typed.fromTime}; choose a later time` })
    }
  })
export type AnswerInput = z.output<typeof AnswerForm>
export const KeyForm = z.object({ back, key: z.enum(['take', 'give-back'], { error: 'Choose one' }) })

export const TickForm = z.object({ memberId: id, tick: z.enum(['here', 'not-here', 'left', 'back'], { error: 'Choose one' }) })
export const WalkInForm = z
  .object({ memberId: maybeId, newName: longText(120), isMinor: checkbox })
  .superRefine((typed, c) => {
    if (!typed.memberId && !typed.newName) c.addIssue({ code: 'custom', path: ['newName'], message: 'Who: choose a member or write a name' })
    if (typed.memberId && typed.newName) c.addIssue({ code: 'custom', path: ['newName'], message: 'Who: either a member or a new name, not both' })
  })

/** 24:00 is 00:00 to a browser's time field. */
export const shownTime = (t: string): string => (t === '24:00' ? '00:00' : t)
/** Where an answer leads back to. */
export const backTo = (page: 'list' | 'page', sessionId: string): string => (page === 'list' ? `/sessions#s-${sessionId}` : `/sessions/${sessionId}`)
/** First date of a weekday on or after a date. */
export const firstOn = (from: string, day: number): string => addDays(from, (day - weekdayOf(from) + 7) % 7)
