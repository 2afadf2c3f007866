/** Who can be there when: free stretches of everybody who may work on the build, other builds' pieces taken off, with what is asked beside the plan. */
import { localMinuteToInstant, offsetAt, weekdayOfDay } from '../calendar/index.ts'
import type { MBuild, Model } from '../schedule/model.ts'
import { lastFrom } from '../schedule/open-times.ts'
import type { Free } from '../schedule/state.ts'
import { instant } from '../units/index.ts'
import type { WhatIf } from './types.ts'

export const WEEK = 7 * 1440

/** Free stretches, by site and then by start; `row` tells what must come true for it. */
export interface Stretches {
  readonly start: Int32Array
  readonly end: Int32Array
  readonly person: Int32Array
  readonly row: Int32Array
  /** The most that can be at the site at once in it, were all to come. */
  readonly many: Int32Array
  /** First stretch of each site; one more at the end. */
  readonly from: Int32Array
  /** The longest of each site. */
  readonly longest: Int32Array
  readonly rows: Rows
}

/** Stretches of presence that come or don't: those of one week follow each other. Weeks count from now. */
export interface Rows {
  readonly count: number
  readonly week: Int32Array
  /** First row of each week; one more at the end. Rows beyond the last are sure, or hang on others. */
  readonly from: Int32Array
  /** Comes for sure: those who are there now, and hours somebody asks about. */
  readonly sure: Uint8Array
  /** A helper's row: comes when one of these does; null: by itself. */
  readonly with: readonly (readonly number[] | null)[]
  /** By person, for each of the model's presence rows: its row here, or -1. Null: not eligible, so nothing is drawn. */
  readonly of: readonly (Int32Array | null)[]
}

interface Row { readonly start: number; readonly end: number; readonly site: number; readonly person: number; readonly sure: boolean; readonly with: readonly number[] | null }

/** Also asked by catch-up: everybody there at any time (what binds when hours don't?), everything cured at once and no gate shut (can warmth help at all?). */
export type Extra = WhatIf & { readonly always?: boolean; readonly cured?: boolean }

/**
 * @param free each person's free stretches
 * @param home the site of most of her work
 */
export function stretchesOf(model: Model, build: MBuild, free: readonly Free[], home: number, sites: number, whatIf: Extra): Stretches {
  const { people, horizon } = model
  const rows: Row[] = build.eligible.flatMap((p) => {
    const { start, end, site } = people[p]!.rows
    return Array.from(start, (s, i): Row => ({ start: s, end: end[i]!, site: site[i]!, person: p, sure: s <= 0, with: null })).filter((r) => r.end > 0)
  })
  const week = (t: number): number => Math.floor(Math.max(0, t) / WEEK)
  rows.sort((a, b) => week(a.start) - week(b.start) || a.person - b.person || a.start - b.start)
  const own = rows.length
  const weeks = week(horizon) + 1
  const from = new Int32Array(weeks + 1)
  for (const r of rows) from[week(r.start) + 1]!++
  for (let w = 0; w < weeks; w++) from[w + 1] = from[w + 1]! + from[w]!

  const out: { start: number; end: number; site: number; person: number; row: number }[] = []
  const rowOf = new Map(rows.map((r, i) => [`${r.person} ${r.start}`, i]))
  const eligible = new Set(build.eligible)
  const of = people.map((q, p) => (eligible.has(p) ? q.rows.start.map((s) => rowOf.get(`${p} ${s}`) ?? -1) : null))
  for (const p of build.eligible) {
    const f = free[p]!
    const { start } = people[p]!.rows
    for (let i = 0; i < f.start.length; i++) {
      if (f.end[i]! <= 0 || f.start[i]! >= horizon) continue
      const row = rowOf.get(`${p} ${start[lastFrom(start, f.start[i]!)] ?? ''}`)
      if (row !== undefined) out.push({ start: f.start[i]!, end: f.end[i]!, site: f.site[i]!, person: p, row })
    }
  }
  const add = (r: Row): void => {
    rows.push(r)
    out.push({ start: r.start, end: r.end, site: r.site, person: r.person, row: rows.length - 1 })
  }
  if (whatIf.extraPerWeek) for (const r of extraRows(model, build, home, whatIf.extraPerWeek)) add(r)
  if (whatIf.helper) for (const r of helperRows(rows.slice(0, own), people.length, openSites(model))) add(r)
  if (whatIf.always) for (const p of build.eligible) add({ start: 0, end: horizon, site: home, person: p, sure: true, with: null })

  out.sort((a, b) => a.site - b.site || a.start - b.start || a.person - b.person)
  const bySite = new Int32Array(sites + 1)
  const longest = new Int32Array(sites)
  for (const s of out) {
    bySite[s.site + 1]!++
    longest[s.site] = Math.max(longest[s.site]!, s.end - s.start)
  }
  for (let s = 0; s < sites; s++) bySite[s + 1] = bySite[s + 1]! + bySite[s]!
  return {
    start: Int32Array.from(out, (s) => s.start), end: Int32Array.from(out, (s) => s.end), person: Int32Array.from(out, (s) => s.person),
    row: Int32Array.from(out, (s) => s.row), many: manyOf(out), from: bySite, longest,
    rows: { count: own, week: Int32Array.from(rows, (r) => week(r.start)), from, sure: Uint8Array.from(rows, (r) => (r.sure ? 1 : 0)), with: rows.map((r) => r.with), of },
  }
}

/** At some start within a stretch (its own, or that of one that begins in it) the number of stretches that hold it is greatest. Sorted by site and start. */
function manyOf(rows: readonly { readonly start: number; readonly end: number; readonly site: number }[]): Int32Array {
  const out = new Int32Array(rows.length)
  let open: number[] = []
  rows.forEach((r, i) => {
    open = open.filter((k) => rows[k]!.site === r.site && rows[k]!.end > r.start)
    open.push(i)
    for (const k of open) out[k] = Math.max(out[k]!, open.length)
  })
  return out
}

/** Sites that have sessions; where nothing tells (all is assumed), all. Home hours are nobody else's. */
function openSites(model: Model): (site: number) => boolean {
  const open = new Set<number>()
  model.problem.people.forEach((q, i) => {
    const { start, site } = model.people[i]!.rows
    for (const r of q.presence) {
      if (r.sessionId === null) continue
      const k = lastFrom(start, r.start)
      if (k >= 0) open.add(site[k]!)
    }
  })
  return open.size === 0 ? () => true : (site) => open.has(site)
}

/** One more pair of hands as long as somebody of the team is there; comes when one of them does. */
function helperRows(rows: readonly Row[], person: number, isOpen: (site: number) => boolean): Row[] {
  const out: Row[] = []
  const here = rows.map((r, i) => ({ ...r, i })).filter((r) => isOpen(r.site)).sort((a, b) => a.site - b.site || a.start - b.start || a.end - b.end)
  for (let i = 0; i < here.length;) {
    const { start, site } = here[i]!
    let end = here[i]!.end
    const who: number[] = []
    for (; i < here.length && here[i]!.site === site && here[i]!.start <= end; i++) {
      end = Math.max(end, here[i]!.end)
      if (Math.floor(Math.max(0, here[i]!.start) / WEEK) === Math.floor(Math.max(0, start) / WEEK)) who.push(here[i]!.i)
    }
    out.push({ start, end, site, person, sure: start <= 0, with: who })
  }
  return out
}

/** Local minutes of a day in which extra hours may lie, and where they begin if she is free then: evenings, from ten at the weekend. */
const DAY = { from: 9 * 60, evening: 18 * 60, weekend: 10 * 60, to: 22 * 60 }
/** A stretch of extra hours is at most so long: people work one to four hours at a time. */
const LONGEST = 240

/**
 * Extra hours each week (weeks count from now) of the most able person of the team: who holds most competences in full, then who is there most, then by
 * id. They lie on the days on which that person is there least, so that what was put on has cured meanwhile and nothing stands in the way: first
 * four hours on the first such day, what is left on the next, and so on; within 9 to 22, from 18:00 (from 10:00 at the weekend) where the person is free then. They come for sure.
 */
function extraRows(model: Model, build: MBuild, home: number, perWeek: number): Row[] {
  const { people, horizon, problem } = model
  const team = new Set(problem.builds.find((b) => b.id === build.id)!.team)
  const candidates = build.eligible.filter((p) => team.size === 0 || team.has(people[p]!.id))
  const full = (p: number): number => people[p]!.fullUntil.reduce((n, until) => n + (until > 0 ? 1 : 0), 0)
  const there = (p: number): number => people[p]!.rows.start.reduce((n, s, i) => n + Math.max(0, people[p]!.rows.end[i]! - Math.max(0, s)), 0)
  const able = candidates.length > 0 ? [...candidates].sort((a, b) => full(b) - full(a) || there(b) - there(a) || a - b)[0]! : build.eligible[0]
  if (able === undefined) return []
  const { start, end } = people[able]!.rows
  const local = (t: number): number => t + offsetAt(problem.zone, instant(t))
  const byDay = new Array<number>(7).fill(0)
  for (let i = 0; i < start.length; i++) byDay[weekdayOfDay(Math.floor(local(start[i]!) / 1440)) - 1]! += end[i]! - start[i]!
  const days = [0, 1, 2, 3, 4, 5, 6].sort((a, b) => byDay[a]! - byDay[b]! || a - b)
  const firstDay = Math.floor(local(0) / 1440)
  const out: Row[] = []
  for (let week = 0; week * WEEK < horizon; week++) {
    let left = perWeek
    for (const day of days) {
      const offset = (((day - (weekdayOfDay(firstDay) - 1)) % 7) + 7) % 7
      const midnight = (firstDay + week * 7 + offset) * 1440
      let room = Math.min(left, LONGEST)
      const from = day < 5 ? DAY.evening : DAY.weekend
      for (const [a, b] of [[from, DAY.to], [DAY.from, from]] as const) {
        for (const gap of gapsIn(start, end, localMinuteToInstant(problem.zone, midnight + a), localMinuteToInstant(problem.zone, midnight + b))) {
          const s = Math.max(0, gap[0])
          const e = Math.min(horizon, gap[1], s + room)
          if (e <= s) continue
          out.push({ start: s, end: e, site: home, person: able, sure: true, with: null })
          room -= e - s
          left -= e - s
        }
      }
      if (left <= 0) break
    }
  }
  return out
}

/** What of [from, to) the sorted stretches leave free. */
function gapsIn(start: Int32Array, end: Int32Array, from: number, to: number): [number, number][] {
  const out: [number, number][] = []
  let t = from
  for (let i = Math.max(0, lastFrom(start, from)); i < start.length && start[i]! < to; i++) {
    if (end[i]! <= t) continue
    if (start[i]! > t) out.push([t, start[i]!])
    t = end[i]!
  }
  if (t < to) out.push([t, to])
  return out
}
