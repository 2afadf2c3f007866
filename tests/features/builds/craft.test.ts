import { expect, test } from 'vitest'
import { craftOf, type CraftFacts } from '../../../src/features/builds/facts/craft.ts'
import { sailingDinghy } from '../../../src/features/builds/job-lists/index.ts'

const task = (over: Partial<CraftFacts> = {}): CraftFacts => ({ craft: null, kind: 'shared', handsFrom: 1, dusty: false, name: 'Fit the knees', product: null, materials: [], tools: [], ...over })

test('what a person chose wins over all that the task shows', () => {
  expect(craftOf(task({ craft: 'wood', product: { kind: 'paint' }, dusty: true, name: 'Sand it' }))).toBe('wood')
})

test('a product that cures says glue and glass, fairing, or paint and varnish', () => {
  const kinds = ['epoxy', 'glue', 'fairing', 'primer', 'paint', 'varnish']
  expect(kinds.map((kind) => craftOf(task({ product: { kind } })))).toEqual(['resin', 'resin', 'sanding', 'finish', 'finish', 'finish'])
})

test('a task that takes mixed resin without curing itself is glue and glass', () => {
  expect(craftOf(task({ materials: [{ line: null, productId: 'p', item: null }] }))).toBe('resin')
})

test('dusty work is sanding by its abrasives, its sander or its name, and making and fitting where it cuts', () => {
  const dusty = (over: Partial<CraftFacts>) => craftOf(task({ dusty: true, name: 'Deck edge', ...over }))
  expect(dusty({ materials: [{ line: 'inside.abrasive', productId: null, item: null }] })).toBe('sanding')
  expect(dusty({ materials: [{ line: null, productId: null, item: { kind: 'abrasive' } }] })).toBe('sanding')
  expect(dusty({ tools: [{ tool: { name: 'Sander with extractor' } }] })).toBe('sanding')
  for (const name of ['Wash and sand the spars', 'Scuff the gloss', 'Flat the primer', 'Long-board the outside', 'Fair the bottom']) expect(dusty({ name }), name).toBe('sanding')
  for (const name of ['Cut the scarfs', 'Plane the blanks', 'Stack the thousand offcuts']) expect(dusty({ name, tools: [{ tool: { name: 'Bandsaw' } }] }), name).toBe('wood')
})

test('many hands at once without a product are lifting and turning; two are fitting', () => {
  expect(craftOf(task({ kind: 'together', handsFrom: 4 }))).toBe('handling')
  expect(craftOf(task({ kind: 'together', handsFrom: 2 }))).toBe('wood')
  expect(craftOf(task({ kind: 'together', handsFrom: 4, product: { kind: 'glue' } }))).toBe('resin')
})

/** Common practice, no source: in a stitch-and-glue boat no kind of work is missing, and sanding is a task of its own. */
test('the dinghy’s list has every kind of work, and its sanding is told from its cutting', () => {
  const kindOf = { epoxy: 'epoxy', glue: 'glue', fairing: 'fairing', primer: 'primer', topcoat: 'paint', varnish: 'varnish' } as const
  const craft = new Map(sailingDinghy.tasks.map((t) => [t.key, craftOf(task({
    craft: t.craft ?? null, kind: t.kind, handsFrom: t.hands?.[0] ?? 1, dusty: t.dusty ?? false, name: t.name, product: t.product ? { kind: kindOf[t.product] } : null,
    materials: (t.materials ?? []).map((m) => ({ line: m.line, productId: null, item: null })), tools: (t.tools ?? []).map((u) => ({ tool: { name: u.name } })),
  }))]))
  expect(new Set(craft.values())).toEqual(new Set(['wood', 'resin', 'sanding', 'finish', 'handling']))
  const of = (kind: string) => [...craft].filter(([, c]) => c === kind).map(([key]) => key)
  expect(of('sanding').sort()).toEqual([
    'clean-inside-seams', 'clean-scarfs', 'fair-outside', 'flat-primer', 'long-board', 'sand-bare-outside', 'sand-foils', 'sand-inside', 'sand-spars', 'scuff-outside', 'scuff-precoat', 'wash-outside',
  ])
  expect(of('handling').sort()).toEqual(['buoyancy-test', 'launch', 'rig-trial', 'turn-back-1', 'turn-back-2', 'turn-over-1', 'turn-over-2'])
})
