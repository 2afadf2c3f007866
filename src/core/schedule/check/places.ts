/** Places: allowed, open, in the right conditions, and dust kept off wet films. */
import { relativeHumidity } from '../../cure/humidity.ts'
import type { ConditionGate } from '../../cure/types.ts'
import type { Piece } from '../answer.ts'
import type { Place } from '../problem.ts'
import { grouped, isHistory, type Context, type Job } from './context.ts'
import { stepIndex } from './cure.ts'

/** Air at its limit must pass although humidity is computed back from the dew point. */
const SLACK = 1e-6

export function checkPlaces(c: Context): void {
  const products = new Map(c.problem.products.map((p) => [p.id, p]))
  for (const job of c.jobs.values()) {
    const gates = [job.doing.gate, job.productId === null ? null : products.get(job.productId)?.gate ?? null]
    for (const piece of job.pieces) {
      const { places } = job.doing
      if (piece.placeId === null ? places.length > 0 : !places.includes(piece.placeId)) {
        c.fault('place', piece, `${piece.id} is in ${piece.placeId ?? 'no place'}; ${job.id} is done in ${places.join(' or ') || 'none'}.`)
      }
      const place = piece.placeId === null ? undefined : c.places.get(piece.placeId)
      if (!place) continue
      checkOpen(c, piece, place)
      for (const gate of gates) if (gate) checkGate(c, piece, piece.start + job.doing.setUp, gate, place)
    }
  }
  checkDust(c, (job) => job.productId !== null && products.get(job.productId)?.dustSensitive === true)
}

function checkOpen(c: Context, piece: Piece, place: Place): void {
  const from = Math.max(piece.start, c.problem.now)
  for (const shut of place.closures) {
    if (shut.start < piece.end && shut.end > from && shut.start < shut.end) {
      c.fault('closed', piece, `${place.id} is shut or booked out from ${c.when(shut.start)} to ${c.when(shut.end)}, during ${piece.id}.`)
    }
  }
}

function checkGate(c: Context, piece: Piece, at: number, gate: ConditionGate, place: Place): void {
  if (piece.fixed !== null && at < c.problem.now) return
  const { air, dewPoint } = place.climate[stepIndex(place.climate, at)]!.value
  const say = (what: string): void => c.fault('gate', piece, `${piece.id} begins its application at ${c.when(at)} when ${place.id} is ${what}.`)
  if (gate.minAir !== null && air < gate.minAir - SLACK) say(`at ${air.toFixed(1)} °C, colder than ${gate.minAir} °C`)
  if (gate.maxAir !== null && air > gate.maxAir + SLACK) say(`at ${air.toFixed(1)} °C, hotter than ${gate.maxAir} °C`)
  const humidity = relativeHumidity(air, dewPoint)
  if (gate.maxHumidity !== null && humidity > gate.maxHumidity + SLACK) say(`at ${humidity.toFixed(0)} % humidity, above ${gate.maxHumidity} %`)
  const margin = air + place.surfaceOffset - dewPoint
  if (gate.dewPointMargin !== null && margin < gate.dewPointMargin - SLACK) {
    say(`only ${margin.toFixed(1)} °C above the dew point, less than ${gate.dewPointMargin}`)
  }
}

/** A film that is wet over [start, end), or dust that is in the air over it. */
interface Cloud { readonly start: number; readonly end: number; readonly dusty: boolean; readonly piece: Piece | null; readonly what: string }

function checkDust(c: Context, isFilm: (job: Job) => boolean): void {
  const clouds: (Cloud & { readonly placeId: string })[] = []
  for (const job of c.jobs.values()) {
    if (isFilm(job)) {
      const coat = c.applied(job)
      if (coat) {
        const piece = job.done ? null : job.pieces[0]!
        clouds.push(
          {
            placeId: coat.placeId, start: piece ? piece.start : coat.start, end: c.stage(job, 'dustFree') ?? Infinity, dusty: false, piece,
            what: job.id,
          }
        )
      }
    }
    if (!job.doing.dusty) continue
    for (const piece of job.pieces) {
      const place = piece.placeId === null ? undefined : c.places.get(piece.placeId)
      if (place) clouds.push({ placeId: place.id, start: piece.start, end: piece.end + place.settle, dusty: true, piece, what: piece.id })
    }
  }
  for (const place of c.problem.places) {
    if (place.lastDust !== null) {
      clouds.push({ placeId: place.id, start: -Infinity, end: place.lastDust + place.settle, dusty: true, piece: null, what: 'the last dusty work' })
    }
  }
  for (const [placeId, list] of grouped(clouds, (d) => d.placeId)) sweep(c, placeId, list)
}

function sweep(c: Context, placeId: string, list: readonly Cloud[]): void {
  // Dust first on ties: dust of no length and no settling spoils nothing.
  const sorted = [...list].sort((a, b) => a.start - b.start || Number(b.dusty) - Number(a.dusty))
  let active: Cloud[] = []
  for (const next of sorted) {
    active = active.filter((a) => a.end > next.start)
    for (const other of active) {
      if (other.dusty === next.dusty || (other.piece !== null && other.piece === next.piece)) continue
      if (isPast(c, other) && isPast(c, next)) continue
      const [dust, film] = next.dusty ? [next, other] : [other, next]
      c.fault(
        'dust', next.piece ?? other.piece,
        `${dust.what} is dusty in ${placeId} while ${film.what} is wet there${next.dusty ? '' : ', or has not settled before it'}.`,
      )
    }
    active.push(next)
  }
}

const isPast = (c: Context, cloud: Cloud): boolean => cloud.piece === null || isHistory(c.problem, cloud.piece)
