/**
 * The dinghy list against the trade's own figures. Source: planning table of a 4 m open sailing boat by a first-timer from plans
 * (derived from two published build logs, 2005-06 and 2011; lofting and cutting from memory): rows sum to 140-295 h, "about 200 ± 40 %".
 * Epoxy: derived areas of a 4 m dinghy with about 200 g/m² outside: lean 14 kg, 17 kg, novice 23 kg.
 */
import { describe, expect, test } from 'vitest'
import { boatOf } from '../../src/features/builds/job-lists/boat.ts'
import { sailingDinghy } from '../../src/features/builds/job-lists/index.ts'
import { draftOf, stateOf } from '../features/builds/list-support.ts'

const draft = draftOf({ length: 4, beam: 1.5 })
const hours = (phases: string[]): number =>
  draft.tasks.filter((t) => phases.includes(t.phase)).reduce((sum, t) => sum + (t.workLikelyMin * (t.kind === 'together' ? t.handsFrom : 1)) / 60, 0)

describe('the dinghy list at 4.0 m x 1.5 m', () => {
  test('has sixty or more tasks', () => expect(draft.tasks.length).toBeGreaterThanOrEqual(60))

  test('takes about 200 h, give or take 40 %: 120 to 280', () => {
    const total = hours(sailingDinghy.phases.map((p) => p.key))
    expect(total).toBeGreaterThan(120)
    expect(total).toBeLessThan(280)
  })

  // Rows of the planning table, summed where the list cuts otherwise; low and high as printed.
  test.each([
    ['loft, mark, cut, plane', ['panels'], 12, 25],
    ['scarf or butt joints', ['joints'], 6, 12],
    ['pre-coat flat panels', ['precoat'], 4, 8],
    ['drill, stitch, set', ['shell'], 6, 12],
    ['tack, fillets, inside tape', ['seams'], 14, 25],
    ['turn, edges, glass, fill coats', ['outside', 'glassing'], 14.5, 26],
    ['interior, rails, deck', ['interior', 'rails', 'decks'], 30, 60],
    ['spars and foils', ['spars', 'foils'], 15, 35],
    ['paint and varnish', ['paint'], 15, 35],
  ] as const)('%s lies in the row of the table', (_name, phases, low, high) => {
    const h = hours([...phases])
    expect(h).toBeGreaterThanOrEqual(low)
    expect(h).toBeLessThanOrEqual(high)
  })

  test('finishing from the last wash on is a fifth to a third of the hours (logs: 24 % and 29 %)', () => {
    const share = hours(['fairing', 'paint']) / hours(sailingDinghy.phases.map((p) => p.key))
    expect(share).toBeGreaterThan(0.15)
    expect(share).toBeLessThan(0.35)
  })

  test('mixed epoxy spans the lean and the middle anchor, 14 and 17 kg', () => {
    const mixed = draft.tasks.flatMap((t) => t.materials).filter((m) => m.unit === 'g' && m.name.startsWith('Mixed epoxy'))
    expect(mixed.reduce((s, m) => s + m.low, 0)).toBeLessThan(14_000)
    expect(mixed.reduce((s, m) => s + m.high, 0)).toBeGreaterThan(17_000)
  })

  test('a fillet’s radius is about three times the thinner ply (designers’ guides, read): 18 mm for 6 mm', () => {
    const radius = (measured: Record<string, number>) => boatOf(sailingDinghy, stateOf({ length: 4, beam: 1.5, ...measured })).boat.seams.find((s) => s.key === 'keel')!.radiusMm.value
    expect([radius({}), radius({ plyBottom: 4 }), radius({ plyBottom: 9, plySides: 4 })]).toEqual([18, 12, 12])
  })

  test('a 2 m pram takes about 12 m of tape, both sides counted (plans’ list, read)', () => {
    // No cloth on her bottom: three seams of 2 m, inside and outside, each with 0.1 m for its ends: 6 x 2.1 m = 12.6 m.
    const tape = draftOf({ length: 2, beam: 1.2, clothWeight: 0 }).lines.filter((l) => l.rule === 'tape')
    const net = tape.reduce((sum, l) => sum + l.net.likely, 0)
    expect(net).toBeCloseTo(12.6, 9)
    expect(Math.abs(net / 12 - 1)).toBeLessThan(0.1)
  })

  test('60 to 120 sanding discs for a 4 m dinghy (from memory) lie between least and most', () => {
    const discs = draft.tasks.flatMap((t) => t.materials).filter((m) => m.name === 'Sanding discs')
    const sum = (end: 'low' | 'likely' | 'high') => discs.reduce((n, m) => n + m[end], 0)
    expect(sum('low')).toBeLessThan(60)
    expect(sum('likely')).toBeGreaterThan(60)
    expect(sum('likely')).toBeLessThan(120)
    expect(sum('high')).toBeGreaterThan(100)
  })

  test('a smaller pram has fewer hours, roughly as length times beam (comparison read: 0.55 at 0.57)', () => {
    const small = draftOf({ length: 3, beam: 1.14 })
    const sum = (d: typeof draft): number => d.tasks.reduce((s, t) => s + t.workLikelyMin * Math.max(1, t.kind === 'together' ? t.handsFrom : 1), 0)
    const ratio = sum(small) / sum(draft) // L x B ratio 3.42 / 6 = 0.57
    expect(ratio).toBeGreaterThan(0.5)
    expect(ratio).toBeLessThan(0.85)
  })
})
