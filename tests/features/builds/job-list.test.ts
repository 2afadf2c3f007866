import { describe, expect, test } from 'vitest'
import { jobLists, sailingDinghy } from '../../../src/features/builds/job-lists/index.ts'
import { figuresOf } from '../../../src/features/builds/job-lists/figures.ts'
import { instantiate } from '../../../src/features/builds/job-lists/instantiate.ts'
import { draftOf, settingsFor, stateOf } from './list-support.ts'

describe('starting from a standard job list', () => {
  test.each(jobLists.map((l) => [l.name, l] as const))('%s refers only to what it defines', (_n, list) => {
    const tasks = new Set(list.tasks.map((t) => t.key))
    expect(tasks.size).toBe(list.tasks.length)
    for (const l of [...list.links, ...list.holds]) { expect(tasks).toContain(l.from); expect(tasks).toContain(l.to) }
    const phases = new Set(list.phases.map((p) => p.key))
    for (const t of list.tasks) expect(phases).toContain(t.phase)
    for (const l of list.links) if (l.kind === 'window' || l.kind === 'stage') expect(list.tasks.find((t) => t.key === l.from)?.product, l.from).toBeTruthy()
  })

  test('what is not measured is guessed from length and beam, and says so', () => {
    const m = figuresOf(sailingDinghy, stateOf({ length: 4, beam: 1.5, areaBottom: 5 }))
    expect(m['areaBottom']).toEqual({ value: 5, origin: 'measured' })
    expect(m['seams']).toEqual({ value: 12, origin: 'guess' }) // 3 x 4.0 m
  })

  test('coats in a row are linked by their windows, and links meet the first and the last', () => {
    const d = draftOf({ length: 4, beam: 1.5, fillCoats: 3 })
    const windows = d.links.filter((l) => l.kind === 'window').map((l) => `${l.fromKey}>${l.toKey}`)
    expect(windows).toContain('sheath-bottom-starboard>fill-bottom-1')
    expect(windows).toContain('fill-bottom-1>fill-bottom-2')
    expect(windows).toContain('fill-bottom-2>fill-bottom-3')
    expect(d.links).toContainEqual(expect.objectContaining({ fromKey: 'fill-bottom-3', toKey: 'glue-skeg', stage: 'sandable' }))
  })

  test('a rowing boat leaves out case and foils, and what they joined stays joined', () => {
    const d = draftOf({ length: 4, beam: 1.4, centreboard: 0, areaDeck: 0 })
    const keys = new Set(d.tasks.map((t) => t.listKey))
    for (const gone of ['make-case', 'open-slot', 'shape-foils', 'hang-rudder', 'glue-deck']) expect(keys).not.toContain(gone)
    for (const l of d.links) { expect(keys).toContain(l.fromKey); expect(keys).toContain(l.toKey) }
    // rails -> (deck) -> last sealing coat
    const next = new Map<string, string[]>()
    for (const l of d.links) next.set(l.fromKey, [...(next.get(l.fromKey) ?? []), l.toKey])
    const reached = new Set<string>()
    const walk = (k: string): void => { for (const n of next.get(k) ?? []) if (!reached.has(n)) { reached.add(n); walk(n) } }
    walk('shape-rails')
    expect(reached).toContain('seal-inside')
  })

  test('a finer finish has more coats and more fairing', () => {
    const work = (grade: 'workboat' | 'good' | 'show'): number => draftOf({ length: 4, beam: 1.5 }, grade).tasks.reduce((s, t) => s + t.workLikelyMin, 0)
    expect(work('workboat')).toBeLessThan(work('good'))
    expect(work('good')).toBeLessThan(work('show'))
  })

  test('a length of 40 m or half a coat is refused beside its name', () => {
    const r = instantiate(sailingDinghy, stateOf({ length: 40, beam: 1.5, fillCoats: 2.5 }), settingsFor())
    expect(r).toEqual({ ok: false, refusal: { length: expect.stringContaining('between 2 and 7'), fillCoats: expect.stringContaining('whole number') } })
  })

  test('nothing waits in a circle', () => {
    const d = draftOf({ length: 4, beam: 1.5 }, 'show')
    const waits = new Map(d.tasks.map((t) => [t.listKey, d.links.filter((l) => l.toKey === t.listKey).map((l) => l.fromKey)]))
    expect(waits.size).toBe(d.tasks.length) // every task of the build has a key of its own
    const done = new Set<string>()
    for (let moved = true; moved; ) {
      moved = false
      for (const [k, from] of waits) if (!done.has(k) && from.every((f) => done.has(f))) { done.add(k); moved = true }
    }
    expect(done.size).toBe(d.tasks.length)
  })
})
