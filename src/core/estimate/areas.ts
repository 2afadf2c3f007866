/** Areas from widths at stations, which need not lie at equal distances. */
import { notNegative } from './spread.ts'

export interface WidthAt { readonly atMm: number; readonly widthMm: number }
export interface HalfBreadthAt { readonly atMm: number; readonly halfMm: number }
type Point = readonly [x: number, y: number]

/**
 * Area in m² of a piece whose widths are known at stations along it. Through three stations at a time goes a parabola (Simpson's rule for
 * uneven steps), so that straight and parabolic edges come out exactly; with an even number of stations the odd stretch is left over once at
 * each end, and the mean of both is taken. Where a parabola swings below 0 or beyond 1.5 times the widest of its three stations (they are far
 * too uneven), straight lines are drawn instead, as between two stations. Source: derived; Simpson's rule where the steps are even.
 * @throws RangeError for fewer than two stations, positions that don't rise, or a negative width.
 */
export function areaByStations(stations: readonly WidthAt[]): number {
  if (stations.length < 2) throw new RangeError('an area needs at least two stations')
  const points = stations.map(({ atMm, widthMm }): Point => [atMm, notNegative(widthMm, 'width')])
  points.slice(1).forEach(([x], i) => {
    if (!(x > points[i]![0])) throw new RangeError(`stations must rise, got ${x} after ${points[i]![0]}`)
  })
  return integral(points) / 1e6
}

/** The same from half-breadths off the centre line: both sides together. */
export const areaByHalfBreadths = (stations: readonly HalfBreadthAt[]): number =>
  areaByStations(stations.map(({ atMm, halfMm }) => ({ atMm, widthMm: 2 * notNegative(halfMm, 'half-breadth') })))

function integral(points: readonly Point[]): number {
  if (points.length === 2) return straight(points[0]!, points[1]!)
  if (points.length % 2 === 1) return pairs(points)
  const mirrored = points.map(([x, y]): Point => [-x, y]).reverse()
  return (withLastStretch(points) + withLastStretch(mirrored)) / 2
}

/** All but the last stretch in pairs, the last by the parabola through the last three stations. */
function withLastStretch(points: readonly Point[]): number {
  const [a, b, c] = points.slice(-3) as [Point, Point, Point]
  return pairs(points.slice(0, -1)) + between(a, b, c, b[0], c[0])
}

function pairs(points: readonly Point[]): number {
  let sum = 0
  for (let i = 0; i + 2 < points.length; i += 2) {
    const [a, b, c] = points.slice(i, i + 3) as [Point, Point, Point]
    sum += between(a, b, c, a[0], c[0])
  }
  return sum
}

const straight = (a: Point, b: Point): number => ((a[1] + b[1]) / 2) * (b[0] - a[0])

/** Integral from `from` to `to` (stations of a, b, c) of the parabola through a, b, c. */
function between(a: Point, b: Point, c: Point, from: number, to: number): number {
  // y = y0 + s·t + q·t² with t from b: divided differences.
  const left = (a[1] - b[1]) / (a[0] - b[0])
  const right = (c[1] - b[1]) / (c[0] - b[0])
  const q = (right - left) / (c[0] - a[0])
  const s = left - q * (a[0] - b[0])
  const turn = q === 0 ? null : -s / (2 * q)
  if (turn !== null && turn > a[0] - b[0] && turn < c[0] - b[0]) {
    const y = b[1] + s * turn + q * turn * turn
    if (y < -1e-9 || y > 1.5 * Math.max(a[1], b[1], c[1])) return (from === a[0] ? straight(a, b) : 0) + straight(b, c)
  }
  const upTo = (t: number): number => b[1] * t + (s * t * t) / 2 + (q * t ** 3) / 3
  return upTo(to - b[0]) - upTo(from - b[0])
}
