import { beforeAll, describe, expect, test } from 'vitest'
import { loadBuildsForPlanning } from '../../../src/features/builds/public.ts'
import { taskValues } from '../../../src/features/builds/queries/task-form.ts'
import { inUnitOf, mismatch } from '../../../src/features/builds/facts/amounts.ts'
import { guessed } from '../../../src/features/builds/facts/material-choice.ts'
import { toInstant } from '../../../src/platform/times.ts'
import { instant } from '../../../src/core/units/index.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

const NOW = '2026-06-06T09:00:00Z'
const club = await testClub({ now: NOW })
let builder: Person & { memberId: string }
let buildId: string
type Fields = Record<string, string | string[]>
const id = {} as Record<'resin' | 'hardener' | 'tape' | 'cloth' | 'discs' | 'ties' | 'enamel' | 'slow' | 'glue', string>
const taskOf = (listKey: string) => club.db.task.findFirstOrThrow({ where: { buildId, listKey }, include: { materials: { orderBy: { name: 'asc' } } } })
const url = (taskId: string, path = '') => `/builds/${buildId}/tasks/${taskId}${path}`
const needsOf = async (listKey: string) => {
  const { id: taskId } = await taskOf(listKey)
  const now = toInstant(new Date(NOW))
  const { tasks } = await loadBuildsForPlanning(club.db, { now, from: instant(now - 1440), until: instant(now + 14_400) })
  return tasks.find((t) => t.id === taskId)!.materials
}

beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  const item = async (name: string, kind: 'resin' | 'hardener' | 'tape' | 'cloth' | 'abrasive' | 'fastener' | 'paint', unit: 'g' | 'ml' | 'm' | 'm2' | 'pcs', over = {}) =>
    (await club.db.item.create({ data: { name, kind, unit, ...over } })).id
  id.resin = await item('Epoxy resin', 'resin', 'g')
  id.hardener = await item('Epoxy hardener, slow', 'hardener', 'ml', { density: 1.1 })
  id.tape = await item('Glass tape 75 mm', 'tape', 'm', { widthMm: 75 })
  id.cloth = await item('Glass cloth 200', 'cloth', 'm', { widthMm: 1250 })
  id.discs = await item('Sanding discs 150 mm', 'abrasive', 'pcs')
  id.ties = await item('Copper wire ties', 'fastener', 'pcs')
  id.enamel = await item('Enamel, grey', 'paint', 'g')
  const dinghy = await started(club, builder, { name: 'Untied' })
  id.slow = (await club.db.cureProduct.findUniqueOrThrow({ where: { name: 'Epoxy, slow hardener' } })).id
  id.glue = (await club.db.cureProduct.findUniqueOrThrow({ where: { name: 'Wood-epoxy glue, thickened' } })).id
  await club.db.cureProduct.update({ where: { id: id.slow }, data: { ratioA: 100, ratioB: 44, ratioBy: 'mass' } })
  await club.db.system.create({ data: { productId: id.slow, resinItemId: id.resin, hardenerItemId: id.hardener } })
  buildId = dinghy
})

describe('amounts between units', () => {
  const none = { density: null, widthMm: null }
  test.each<[string, number, string, Parameters<typeof inUnitOf>[2], number | null]>([
    // Density 1.13 g/cm³ = 1.13 g/ml: 226 g / 1.13 = 200 ml, and 200 ml x 1.13 = 226 g.
    ['grams are millilitres by the density', 226, 'g', { unit: 'ml', density: 1.13, widthMm: null }, 200],
    ['millilitres are grams by the density', 200, 'ml', { unit: 'g', density: 1.13, widthMm: null }, 226],
    // 1270 mm wide (50 in exactly): 10 m x 1.27 m = 12.7 m².
    ['metres off a roll are square metres by its width', 10, 'm', { unit: 'm2', density: null, widthMm: 1270 }, 12.7],
    ['square metres are metres off a roll by its width', 12.7, 'm2', { unit: 'm', density: null, widthMm: 1270 }, 10],
    ['without a density it can’t be said', 226, 'g', { unit: 'ml', ...none }, null],
    ['square metres of ply are no number of sheets', 3, 'm2', { unit: 'pcs', density: null, widthMm: 1220 }, null],
    ['grams are no metres', 3, 'g', { unit: 'm', density: 1, widthMm: 75 }, null],
  ])('%s', (_name, amount, unit, item, expected) => {
    const got = inUnitOf(amount, unit, item)
    if (expected === null) expect(got).toBeNull()
    else expect(got).toBeCloseTo(expected, 9)
  })

  test('a mismatch is told in words that say what to enter', () => {
    expect(mismatch('ml', { name: 'Enamel', unit: 'g', ...none })).toBe('asked for in ml, and “Enamel” is kept in g: enter its density at the item, or another unit here')
    expect(mismatch('m2', { name: 'Cloth', unit: 'm', ...none })).toContain('enter its width')
    expect(mismatch('m2', { name: 'Ply', unit: 'pcs', ...none })).toContain('kept in pieces, which can’t be worked out')
    expect(mismatch('ml', { name: 'Enamel', unit: 'g', density: 1.2, widthMm: null })).toBeNull()
  })

  test('a name is guessed by the words it shares with an item whose unit fits, and a mix is a mix', () => {
    const row = (name: string, unit: string, over = {}) => ({ id: name, name, kind: 'other', unit, isActive: true, ...none, ...over })
    const items = [row('Glass tape 75 mm', 'm', { widthMm: 75 }), row('Glass cloth 200 g/m²', 'm2'), row('Spar varnish', 'ml'), row('Old varnish', 'ml', { isActive: false })]
    expect(guessed('Glass cloth', ['m2'], items)).toEqual({ is: 'item', id: 'Glass cloth 200 g/m²' })
    expect(guessed('Glass tape 75 mm, 200 g/m²', ['m'], items)).toEqual({ is: 'item', id: 'Glass tape 75 mm' })
    expect(guessed('Varnish', ['ml'], items)).toEqual({ is: 'item', id: 'Spar varnish' })
    // Kept in ml without a density: a need in g can't be taken from it.
    expect(guessed('Varnish', ['g'], items)).toEqual({ is: 'not' })
    expect(guessed('Mixed epoxy, thickened', ['g'], items)).toEqual({ is: 'mixed' })
    expect(guessed('Topcoat', ['ml'], items)).toEqual({ is: 'not' })
  })

  test('sizes and woods that both name must be the same: 80 g cloth is not tied to a 200 g roll, nor 4 mm ply to a 6 mm sheet', () => {
    const row = (name: string, kind: string, unit: string, over = {}) => ({ id: name, name, kind, unit, isActive: true, ...none, ...over })
    const heavy = row('Glass cloth', 'cloth', 'm2', { arealMass: 200, widthMm: 1000 })
    const [six, four] = [row('Okoume ply 6 mm', 'ply', 'pcs', { thicknessMm: 6 }), row('Okoume ply 4 mm', 'ply', 'pcs', { thicknessMm: 4 })]
    const tie = (name: string, unit: string, ...items: ReturnType<typeof row>[]) => guessed(name, [unit], items)
    expect(tie('Glass cloth 80 g/m²', 'm2', heavy)).toEqual({ is: 'not' })
    expect(tie('Glass cloth 200 g/m²', 'm2', heavy)).toEqual({ is: 'item', id: 'Glass cloth' })
    expect(tie('Glass cloth 80 g/m²', 'm2', heavy, row('Glass cloth 80 g/m², 1.2 m wide', 'cloth', 'm2'))).toMatchObject({ id: 'Glass cloth 80 g/m², 1.2 m wide' })
    expect(tie('Glass cloth 80 g/m²', 'm2', row('Glass cloth 200', 'cloth', 'm2'))).toEqual({ is: 'not' })
    expect(tie('Okoume plywood 4 mm', 'pcs', six, four)).toEqual({ is: 'item', id: 'Okoume ply 4 mm' })
    expect(tie('Okoume plywood 9 mm', 'pcs', six, four)).toEqual({ is: 'not' })
    expect(tie('Birch plywood 6 mm', 'pcs', six)).toEqual({ is: 'not' })
    expect(tie('Glass tape 100 mm, 200 g/m²', 'm', row('Glass tape 75 mm', 'tape', 'm', { widthMm: 75 }))).toEqual({ is: 'not' })
    expect(tie('Timber 20 × 45 mm', 'm', row('Timber 20 × 45 mm, spruce', 'timber', 'm'), row('Timber 30 × 60 mm', 'timber', 'm'))).toMatchObject({ id: 'Timber 20 × 45 mm, spruce' })
    expect(tie('Silica thickener', 'g', row('Fumed silica', 'filler', 'g'))).toEqual({ is: 'item', id: 'Fumed silica' })
  })
})

describe('all names of a build at once', () => {
  const page = async (as = builder) => (await as.get(`/builds/${buildId}/materials`)).body
  /** The form as the page shows it, with choices changed by name. */
  const form = async (over: Record<string, string>, use: Record<string, string> = {}): Promise<Fields> => {
    const html = await page()
    const fields: Fields = {}
    for (const [, name, value] of html.matchAll(/<input type="hidden" name="((?:name|was|wasUse)\.\d+)" value="([^"]*)"/g)) fields[name!] = value!
    const hidden = (n: string) => String(fields[n]).replaceAll('&amp;', '&').replaceAll('&quot;', '"')
    for (const key of Object.keys(fields).filter((k) => k.startsWith('name.'))) {
      const i = key.slice(5)
      fields[key] = hidden(key)
      fields[`from.${i}`] = over[hidden(key)] ?? String(fields[`was.${i}`])
      fields[`use.${i}`] = use[hidden(key)] ?? String(fields[`wasUse.${i}`])
    }
    return fields
  }
  const save = async (over: Record<string, string>, use: Record<string, string> = {}) => builder.post(`/builds/${buildId}/materials`, await form(over, use))

  test('nothing is taken from the stores until names are tied; guesses are offered and said to be guesses', async () => {
    expect(await needsOf('tape-port')).toEqual([])
    const html = await page()
    expect(words(html)).toContain('A guess by its name: look whether it fits')
    expect(html).toMatch(new RegExp(`<option value="${id.tape}" selected`))
    expect(html).toMatch(/<option value="mixed" selected/)
  })

  test('tied names make needs: a mix is shared out by its ratio, by mass and in the item’s own unit', async () => {
    const answer = await save({ 'Mixed epoxy': 'mixed', 'Glass tape 75 mm, 200 g/m²': id.tape, 'Glass cloth 200 g/m²': id.cloth, 'Sanding discs': id.discs })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const { materials } = await taskOf('tape-port')
    const likely = (name: string) => materials.find((m) => m.name === name)!.likely
    // 100:44 by mass: resin is 100/144 of the mix, hardener 44/144, kept in ml at 1.1 g/ml.
    const mixed = likely('Mixed epoxy')
    const needs = new Map((await needsOf('tape-port')).map((n) => [n.materialId, n]))
    // Both parts are whole milligrams that add up to the mix: within 1 of the exact share.
    expect(Math.abs(needs.get(id.resin)!.amount - (mixed * 1000 * 100) / 144)).toBeLessThanOrEqual(1)
    expect(Math.abs(needs.get(id.hardener)!.amount - (mixed * 1000 * 44) / 144 / 1.1)).toBeLessThanOrEqual(1)
    expect(needs.get(id.tape)).toEqual({ materialId: id.tape, amount: Math.round(likely('Glass tape 75 mm, 200 g/m²') * 1000), structural: true })
    expect(needs.size).toBe(3)
    // Discs carry no load: any usable ones will do.
    expect((await needsOf('long-board'))[0]).toMatchObject({ materialId: id.discs, structural: false })
  })

  test('cloth asked for in m² is taken in metres off a roll of its width', async () => {
    const glassing = await club.db.task.findFirstOrThrow({ where: { buildId, materials: { some: { name: 'Glass cloth 200 g/m²' } } }, include: { materials: { where: { name: 'Glass cloth 200 g/m²' } } } })
    const needs = await needsOf(glassing.listKey!)
    // 1.25 m wide: a square metre is 0.8 m of it.
    expect(needs.find((n) => n.materialId === id.cloth)!.amount).toBe(Math.round(glassing.materials[0]!.likely * 800))
  })

  test('where nothing cures, a mix is tied to nothing and the page says what to do', async () => {
    // The glue has no resin and hardener in the stores yet.
    expect(words(await page())).toContain('What is mixed of “Wood-epoxy glue, thickened” can’t be set aside')
    expect(await needsOf('glue-scarfs-bottom')).toEqual([])
  })

  test('an item in a unit that can’t be worked out is refused beside the field, and nothing is changed', async () => {
    const answer = await save({ Topcoat: id.enamel, Varnish: id.discs })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('Topcoat: asked for in ml, and “Enamel, grey” is kept in g: enter its density at the item')
    expect(answer.body).toMatch(new RegExp(`<option value="${id.enamel}" selected`))
    expect(await club.db.taskMaterial.count({ where: { name: { in: ['Topcoat', 'Varnish'] }, itemId: { not: null } } })).toBe(0)
    expect(await club.db.materialName.findUnique({ where: { name: 'Topcoat' } })).toBeNull()
    const mixed = await save({ Topcoat: 'mixed' })
    expect(words(mixed.body)).toContain('Topcoat: a mixed amount is weighed: ask for it in g')
  })

  test('a person may say that any usable stock will do; tied by two at once, the second is shown what is stored', async () => {
    const stale = await form({ 'Copper wire or cable ties': 'not' })
    expect((await save({ 'Copper wire or cable ties': id.ties }, { 'Copper wire or cable ties': 'any' })).statusCode).toBe(303)
    expect((await needsOf('stitch-hull'))[0]).toMatchObject({ materialId: id.ties, structural: false })
    const late = await builder.post(`/builds/${buildId}/materials`, Object.fromEntries(Object.entries(stale).map(([k, v]) => [k, k.startsWith('from.') && stale[`name.${k.slice(5)}`] === 'Copper wire or cable ties' ? id.discs : v])))
    expect(late.statusCode).toBe(409)
    expect((await needsOf('stitch-hull'))[0]).toMatchObject({ materialId: id.ties })
  })

  test('somebody outside the team sees what is tied and can’t change it', async () => {
    const other = await club.signedIn(['helper'])
    const html = await page(other)
    expect(words(html)).toContain('Copper wire ties (pcs)')
    expect(html).not.toContain('name="from.0"')
    expect((await other.post(`/builds/${buildId}/materials`, {})).statusCode).toBe(403)
  })

  test('a finished task needs nothing more', async () => {
    const { id: taskId } = await taskOf('stitch-hull')
    await builder.post(url(taskId, '/finish'), {})
    expect(await needsOf('stitch-hull')).toEqual([])
    await builder.post(url(taskId, '/reopen'), {})
    expect(await needsOf('stitch-hull')).toHaveLength(1)
  })
})

describe('the next build', () => {
  test('finds her materials by what was said before; the form can say otherwise, and that is remembered', async () => {
    const form = (await builder.get('/builds/new/sailing-dinghy?m.length=4&m.beam=1.5&grade=good')).body
    expect(words(form)).toContain('Her materials in the stores')
    expect(form).toContain('name="material.Mixed epoxy"')
    const again = await started(club, builder, { name: 'Tied by name' })
    const rows = await club.db.taskMaterial.findMany({ where: { task: { buildId: again } }, include: { task: true } })
    for (const r of rows.filter((x) => x.name === 'Mixed epoxy')) expect(r.productId).toBe(r.task.productId)
    for (const r of rows.filter((x) => x.name === 'Sanding discs')) expect([r.itemId, r.structural]).toEqual([id.discs, false])
    expect(words((await builder.get(`/builds/${again}/started`)).body)).toContain('Not from the stores: “Fairing compound”')

    const other = await started(club, builder, { name: 'Said otherwise', 'material.Sanding discs': 'not', 'material.Glass tape 75 mm, 200 g/m²': id.tape })
    expect(await club.db.taskMaterial.count({ where: { task: { buildId: other }, itemId: id.discs } })).toBe(0)
    expect(await club.db.materialName.findUnique({ where: { name: 'Sanding discs' } })).toMatchObject({ itemId: null, mixed: false })
  })

  test('an item in a unit that can’t be worked out is refused at its field, and nothing is started', async () => {
    const { startFields } = await import('./support.ts')
    const fields = await startFields(club, { name: 'Never', placeId: (await club.make.place({ bays: 1 })).id, 'material.Primer': id.discs })
    const answer = await builder.post('/builds/new/sailing-dinghy', fields)
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('Primer: asked for in ml, and “Sanding discs 150 mm” is kept in pieces')
    expect(await club.db.build.count({ where: { name: 'Never' } })).toBe(0)
  })

  test('measured anew, her materials stay tied to what they were', async () => {
    const before = await club.db.taskMaterial.findFirstOrThrow({ where: { name: 'Glass tape 75 mm, 200 g/m²', task: { buildId, listKey: 'tape-port' } } })
    const { version } = await club.db.build.findUniqueOrThrow({ where: { id: buildId } })
    const answer = await builder.post(`/builds/${buildId}/measurements`, { version: String(version), grade: 'good', 'm.length': '4.5', 'm.beam': '1.5' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const after = await club.db.taskMaterial.findFirstOrThrow({ where: { name: 'Glass tape 75 mm, 200 g/m²', task: { buildId, listKey: 'tape-port' } } })
    expect(after.likely).toBeGreaterThan(before.likely)
    expect([after.itemId, after.structural]).toEqual([id.tape, true])
  })
})

describe('at one task', () => {
  const fields = async (over: Fields = {}): Promise<Fields> => ({
    name: 'Sheathe the keel', phaseId: (await taskOf('check-plans')).phaseId, kind: 'shared', low: '1', likely: '2', high: '3', handsFrom: '1', handsTo: '2', setUp: '5', clearUp: '5', where: 'boat',
    productId: id.slow, materialName: ['Resin for the keel', 'Tape for the keel'], materialUnit: ['g', 'm'], materialLow: ['100', '3'], materialLikely: ['144', '3.5'], materialHigh: ['200', '4'], materialRule: ['', ''],
    materialFrom: ['mixed', id.tape], materialUse: ['', 'any'], ...over,
  })
  const add = async (over: Fields = {}) => builder.post(`/builds/${buildId}/tasks/new`, await fields(over))
  const row = (name: string) => club.db.task.findFirstOrThrow({ where: { buildId, name }, include: { materials: { orderBy: { name: 'asc' } } } })

  test('its form ties rows, a new name is remembered, and the form shows what is stored', async () => {
    expect((await add()).statusCode).toBe(303)
    const task = await row('Sheathe the keel')
    expect(task.materials.map((m) => [m.itemId, m.productId, m.structural])).toEqual([[null, id.slow, true], [id.tape, null, false]])
    expect(await club.db.materialName.findUnique({ where: { name: 'Tape for the keel' } })).toMatchObject({ itemId: id.tape })
    const html = (await builder.get(url(task.id, '/edit'))).body
    expect(html).toMatch(/<option value="mixed" selected/)
    expect(html).toMatch(new RegExp(`<option value="${id.tape}" selected`))
    expect(html).toMatch(/<option value="any" selected/)
  })

  test('tied to something else, or saved as it is, a material stays the estimate’s; its amounts typed anew, it is the person’s', async () => {
    const { id: taskId } = await taskOf('tape-starboard')
    const lines = async () => (await taskOf('tape-starboard')).materials.map((m) => [m.name, m.line, m.ruleKey])
    const saved = async (change: (values: Fields) => Fields) => {
      const values = await taskValues(club.db, buildId, taskId)
      const answer = await builder.post(url(taskId, '/edit'), change(values))
      expect(answer.statusCode, words(answer.body)).toBe(303)
    }
    const before = await lines()
    expect(before).toEqual([['Glass tape 75 mm, 200 g/m²', 'chine-starboard.tape.inside', 'tape'], ['Mixed epoxy', 'chine-starboard.tape-resin.inside', 'tape-resin']])
    await saved((v) => ({ ...v, note: 'From the long roll', materialFrom: ['not', 'mixed'] }))
    expect(await lines()).toEqual(before)
    await saved((v) => ({ ...v, materialLikely: ['5.5', (v['materialLikely'] as string[])[1]!], materialHigh: ['6', (v['materialHigh'] as string[])[1]!] }))
    expect(await lines()).toEqual([['Glass tape 75 mm, 200 g/m²', null, null], before[1]])
  })

  test('a mix follows the task’s cure product; without one it has to be said of what', async () => {
    const task = await row('Sheathe the keel')
    const none = await builder.post(url(task.id, '/edit'), { ...(await fields({ productId: '', smallest: '30' })), version: String(task.version) })
    expect(none.statusCode).toBe(422)
    expect(words(none.body)).toContain('Resin for the keel: nothing cures in this task, so say which product is mixed')
    const said = await builder.post(url(task.id, '/edit'), { ...(await fields({ productId: '', smallest: '30', materialFrom: [`product:${id.slow}`, id.tape] })), version: String(task.version) })
    expect(said.statusCode, words(said.body)).toBe(303)
    expect((await row('Sheathe the keel')).materials[0]).toMatchObject({ productId: id.slow, itemId: null })
  })

  test.each<[string, Fields, string]>([
    ['metres of what is counted', { materialFrom: ['mixed', 'DISCS'] }, 'Tape for the keel: asked for in m, and “Sanding discs 150 mm” is kept in pieces'],
    ['a mix in metres', { materialFrom: ['mixed', 'mixed'] }, 'Tape for the keel: a mixed amount is weighed: ask for it in g'],
    ['a mix of a product without resin and hardener', { materialFrom: ['product:GLUE', ''] }, 'Resin for the keel: this product’s resin and hardener are not in the stores'],
    ['nonsense', { materialFrom: ['abc', ''] }, 'Resin for the keel: choose from the list what it is in the stores'],
    ['more than any boat takes', { materialLikely: ['1e9', '3.5'], materialHigh: ['', '4'] }, 'Resin for the keel: more than any boat takes'],
  ])('%s is refused at the materials, kept as typed, and nothing is added', async (_name, over, message) => {
    const from = over['materialFrom']
    const real: Fields = Array.isArray(from) ? { materialFrom: from.map((f) => f.replace('DISCS', id.discs).replace('GLUE', id.glue)) } : {}
    const before = await club.db.task.count({ where: { buildId } })
    const answer = await add({ ...over, ...real, name: 'Never added' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(answer.body).toContain('value="Tape for the keel"')
    expect(await club.db.task.count({ where: { buildId } })).toBe(before)
  })

  test('split in two, both halves keep what they are tied to and add up to the whole', async () => {
    const task = await row('Sheathe the keel')
    const answer = await builder.post(url(task.id, '/split'), { version: String(task.version), firstName: 'Keel forward', secondName: 'Keel aft', share: '40', order: 'beside' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const [first, second] = [await row('Keel forward'), await row('Keel aft')]
    expect(second.materials.map((m) => [m.itemId, m.productId, m.structural])).toEqual(first.materials.map((m) => [m.itemId, m.productId, m.structural]))
    for (const [i, whole] of [144, 3.5].entries()) expect(first.materials[i]!.likely + second.materials[i]!.likely).toBeCloseTo(whole, 9)
    expect(first.materials[1]!.likely).toBeCloseTo(1.4, 9)
  })
})
