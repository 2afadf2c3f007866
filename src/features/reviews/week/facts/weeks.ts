/** Weeks of a build: ISO weeks in the club's zone, counted from the one that she was started in. Pure. */
import { addDays, daysBetween, isDate, weekdayOf, weekLabel } from '../../../../core/calendar/index.ts'
import { localDate, localMoment } from '../../../../platform/times.ts'

export type Week = {
  monday: string
  sunday: string
  /** '2026-W23' */
  isoWeek: string
  /** From 1; below for weeks before she was started. */
  no: number
  from: Date
  /** The first moment that is not in it any more. */
  until: Date
}

export const mondayOf = (date: string): string => addDays(date, 1 - weekdayOf(date))
export const isMonday = (text: string): boolean => isDate(text) && weekdayOf(text) === 1

export function weekOf(zone: string, startedOn: string, monday: string): Week {
  const next = addDays(monday, 7)
  return {
    monday, sunday: addDays(monday, 6), isoWeek: weekLabel(monday), no: daysBetween(mondayOf(startedOn), monday) / 7 + 1,
    from: localMoment(zone, monday, '00:00'), until: localMoment(zone, next, '00:00'),
  }
}

/** The Monday of the week that it is. */
export const thisMonday = (zone: string, now: Date): string => mondayOf(localDate(zone, now))

/** A week may be signed when it is over, from its Sunday evening on, or once its last session is closed out. */
export const EVENING = '18:00'
export type SessionOver = { end: Date; isClosed: boolean }

/** Why a review can't be signed yet; null when it can. `day`: a date in words. */
export function notYet(zone: string, week: Week, sessions: readonly SessionOver[], now: Date, day: (iso: string) => string): string | null {
  const name = `Week ${Number(week.isoWeek.slice(6))}`
  if (now < week.from) return `${name} has not begun: it can be reviewed from ${day(week.monday)} on and signed when it is over.`
  if (now >= localMoment(zone, week.sunday, EVENING)) return null
  if (sessions.length > 0 && sessions.every((s) => s.isClosed && s.end <= now)) return null
  const how = sessions.length > 0 ? ', or as soon as its last session is closed out' : ''
  return `${name} ends on ${day(week.sunday)}: sign it from that evening on${how}.`
}
