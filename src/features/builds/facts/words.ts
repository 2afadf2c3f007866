/** Times, hours and cure stages in words, by the club's clock and language. */
import type { CureStage } from '../../../core/cure/types.ts'

export type ClubWords = {
  /** 'Sat 28 Nov 14:00'; with the year when it is not this one. */
  at(t: number): string
  /** 'Sat 28 Nov' of a local date 'YYYY-MM-DD'. */
  day(iso: string): string
}

export function clubWords(club: { zone: string; locale: string }, now: number): ClubWords {
  const format = (options: Intl.DateTimeFormatOptions) => new Intl.DateTimeFormat(club.locale, options)
  const day = { weekday: 'short', day: 'numeric', month: 'short' } as const
  const dated = { near: format({ ...day, timeZone: club.zone }), far: format({ ...day, year: 'numeric', timeZone: club.zone }) }
  const clock = format({ hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone: club.zone })
  const local = format({ ...day, timeZone: 'UTC' })
  const plain = (text: string) => text.replaceAll(',', '')
  return {
    at(t) {
      const date = new Date(t * 60_000)
      const far = Math.abs(t - now) > 180 * 1440
      return `${plain((far ? dated.far : dated.near).format(date))} ${clock.format(date)}`
    },
    day: (iso) => plain(local.format(new Date(`${iso}T12:00:00Z`))),
  }
}

/** '45 min', '2 h', '2 h 30'. */
export function hours(min: number): string {
  if (min < 60) return `${Math.round(min)} min`
  const h = Math.floor(min / 60)
  const rest = Math.round(min - h * 60)
  return rest === 0 ? `${h} h` : `${h} h ${String(rest).padStart(2, '0')}`
}

export const STAGE_WORDS: Record<CureStage, string> = {
  workable: 'workable until',
  dustFree: 'dust-free',
  opens: 'ready for the next coat',
  closes: 'too hard for the next coat without sanding',
  sandable: 'sandable',
  handleable: 'hard enough to handle',
  fullCure: 'fully cured',
}
