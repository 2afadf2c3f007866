import type { PhotoLine } from '../../src/features/builds/log/queries/log.ts'
import { usePage } from '../shared/index.ts'
import { dayWords } from './words.ts'

export const photoUrl = (buildId: string, photoId: string): string => `/builds/${buildId}/photos/${photoId}`

/** Size of the small one: its longest side is 400. */
export function smallSize({ width, height }: { width: number; height: number }): { width: number; height: number } {
  const scale = Math.min(1, 400 / Math.max(width, height))
  return { width: Math.round(width * scale), height: Math.round(height * scale) }
}

/** Small photos in a row, each leading to its page. */
export function Photos({ buildId, photos }: { buildId: string; photos: readonly PhotoLine[] }) {
  const locale = usePage().club?.locale ?? 'en-GB'
  if (photos.length === 0) return null
  return (
    <ul class="photos">
      {photos.map((p) => {
        const says = p.caption === '' ? `Photo of ${dayWords(p.takenOn, locale)}` : p.caption
        return (
          <li key={p.id}>
            <a href={`${photoUrl(buildId, p.id)}/about`}><img src={`${photoUrl(buildId, p.id)}/small`} {...smallSize(p)} alt={says} loading="lazy" /></a>
          </li>
        )
      })}
    </ul>
  )
}
