import { beforeAll, describe, expect, test } from 'vitest'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

const NOW = '2026-06-06T09:00:00Z'
const club = await testClub({ now: NOW })
let builder: Person & { memberId: string }
let buildId: string
type Fields = Record<string, string | string[]>
const taskOf = (listKey: string) => club.db.task.findFirstOrThrow({ where: { buildId, listKey } })
const url = (taskId: string, path = '') => `/builds/${buildId}/tasks/${taskId}${path}`

/** What a new task's form sends. */
const task = async (over: Fields = {}): Promise<Fields> => ({
  name: 'Make a tiller', phaseId: (await taskOf('check-plans')).phaseId, kind: 'shared', low: '1', likely: '2', high: '3', handsFrom: '1', handsTo: '2', smallest: '30', setUp: '5', clearUp: '5',
  where: 'boat', steps: 'Cut\nShape\nOil', materialName: ['Ash, 30 mm', ''], materialUnit: ['m', 'g'], materialLow: ['1', ''], materialLikely: ['1.2', ''], materialHigh: ['1.5', ''], materialRule: ['', ''], ...over,
})
const add = async (over: Fields = {}) => builder.post(`/builds/${buildId}/tasks/new`, await task(over))
const link = (from: string, fields: Fields) => builder.post(url(from, '/links'), fields)

beforeAll(async () => {
  // 14 members, so that 4 hands can turn her; one session of 7 hours.
  for (let i = 0; i < 13; i++) await club.make.member(['helper'])
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  buildId = await started(club, builder)
  const site = await club.make.site()
  await club.db.session.create({ data: { siteId: site.id, date: new Date('2026-06-13T00:00:00Z'), starts: '09:30', ends: '16:30' } })
})

describe('a task is added, edited, moved, split and deleted', () => {
  test('added with all its parts, and edited keeping the ticks of steps whose words stay', async () => {
    const answer = await add()
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const row = await club.db.task.findFirstOrThrow({ where: { buildId, name: 'Make a tiller' }, include: { steps: true, materials: true } })
    expect([row.workLowMin, row.workLikelyMin, row.workHighMin, row.smallestMin]).toEqual([60, 120, 180, 30])
    expect(row.steps.map((s) => s.text).sort()).toEqual(['Cut', 'Oil', 'Shape'])
    expect(row.materials.map((m) => [m.name, m.unit, m.likely])).toEqual([['Ash, 30 mm', 'm', 1.2]])
    const cut = row.steps.find((s) => s.text === 'Cut')!
    await builder.post(url(row.id, `/steps/${cut.id}`), { ticked: 'yes' })
    const form = await builder.get(url(row.id, '/edit'))
    expect(form.body).toContain('value="Make a tiller"')
    expect((await builder.post(url(row.id, '/edit'), { ...(await task({ name: 'Make a curved tiller', steps: 'Cut\nLaminate\nOil' })), version: '1' })).statusCode).toBe(303)
    const steps = await club.db.step.findMany({ where: { taskId: row.id }, orderBy: { position: 'asc' } })
    expect(steps.map((s) => [s.text, s.tickedAt !== null])).toEqual([['Cut', true], ['Laminate', false], ['Oil', false]])
  })

  test('an edit from a stale page is refused and shows both values; nothing of it is saved', async () => {
    await add({ name: 'Stale task' })
    const { id } = await club.db.task.findFirstOrThrow({ where: { buildId, name: 'Stale task' } })
    expect((await builder.post(url(id, '/edit'), { ...(await task({ name: 'First to save' })), version: '1' })).statusCode).toBe(303)
    const stale = await builder.post(url(id, '/edit'), { ...(await task({ name: 'Second to save', likely: '2.5' })), version: '1' })
    expect(stale.statusCode).toBe(409)
    expect(stale.body).toContain('value="Second to save"')
    expect(words(stale.body)).toContain('Stored meanwhile: First to save')
    expect((await club.db.task.findUniqueOrThrow({ where: { id } })).name).toBe('First to save')
    // Sent again from the page that showed both, it is a decision.
    expect(stale.body).toContain('name="version" value="2"')
    expect((await builder.post(url(id, '/edit'), { ...(await task({ name: 'Second to save' })), version: '2' })).statusCode).toBe(303)
  })

  test.each<[string, Fields, string]>([
    ['hours abc', { likely: 'abc' }, '“abc” is not a number of hours'],
    ['hours -3', { likely: '-3' }, '“-3” is less than nothing'],
    ['low above likely', { low: '5' }, 'Low is more than likely'],
    ['no name', { name: '  ' }, 'Name: fill this in'],
    ['more hands than members', { handsFrom: '20', handsTo: '20' }, 'asks for 20 hands and the club has 14 members'],
    ['hands turned round', { handsFrom: '3', handsTo: '2' }, 'Not fewer than from: 3'],
    ['in one go, longer than any session', { likely: '20', high: '25', smallest: '' }, 'takes 10 h 10 in one go with 2 hands, and the longest session is the session 09:30–16:30, 7 h'],
    ['smallest piece longer than any session', { smallest: '600' }, 'Allow smaller pieces'],
    ['a material without an amount', { materialName: ['Ash', ''], materialLikely: ['', ''] }, 'Ash: say how much is likely'],
  ])('%s is refused with the way out; what was typed stays, nothing is added', async (_what, over, message) => {
    const before = await club.db.task.count({ where: { buildId } })
    const answer = await add({ note: 'as typed', ...over })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(answer.body).toContain('as typed')
    expect(await club.db.task.count({ where: { buildId } })).toBe(before)
  })

  test('a coat that would be divisible is refused: one surface, one go', async () => {
    const { id } = await club.db.cureProduct.findFirstOrThrow({ where: { kind: 'epoxy' } })
    const answer = await add({ productId: id, smallest: '30' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('port and starboard')
  })

  test('the product of a coat that something waits for is not taken off', async () => {
    const coat = await taskOf('precoat-1')
    const answer = await builder.post(url(coat.id, '/edit'), { ...(await task({ name: coat.name, productId: '' })), version: String(coat.version) })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('unlink the two before taking the product off')
  })

  test('moved down, then up, is where it was', async () => {
    const order = async () => (await club.db.task.findMany({ where: { buildId }, orderBy: { position: 'asc' }, select: { listKey: true } })).map((t) => t.listKey)
    const before = await order()
    const { id } = await taskOf('loft-panels')
    await builder.post(url(id, '/move'), { to: 'down' })
    const between = await order()
    expect(between.indexOf('loft-panels')).toBe(before.indexOf('loft-panels') + 1)
    await builder.post(url(id, '/move'), { to: 'up' })
    expect(await order()).toEqual(before)
  })

  test('split side by side, work and materials add up to what there was, and both halves keep all links', async () => {
    const whole = await club.db.task.findFirstOrThrow({ where: { buildId, listKey: 'precoat-2' }, include: { materials: true, linksTo: true, linksFrom: true } })
    const answer = await builder.post(url(whole.id, '/split'), { version: String(whole.version), firstName: 'Second coat, port', secondName: 'Second coat, starboard', share: '40', order: 'beside' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const halves = await club.db.task.findMany({ where: { buildId, name: { startsWith: 'Second coat,' } }, include: { materials: true, linksTo: true, linksFrom: true }, orderBy: { position: 'asc' } })
    expect(halves.map((t) => t.workLikelyMin)).toEqual([Math.round(whole.workLikelyMin * 0.4), whole.workLikelyMin - Math.round(whole.workLikelyMin * 0.4)])
    const likely = halves.reduce((sum, t) => sum + t.materials[0]!.likely, 0)
    expect(likely).toBeCloseTo(whole.materials[0]!.likely, 9)
    for (const half of halves) {
      expect(half.productId).toBe(whole.productId)
      expect(half.linksTo.map((l) => [l.fromId, l.kind])).toEqual(whole.linksTo.map((l) => [l.fromId, l.kind]))
      expect(half.linksFrom.map((l) => [l.toId, l.kind])).toEqual(whole.linksFrom.map((l) => [l.toId, l.kind]))
    }
  })

  test('split one after the other, what came before waits for the first and what comes after for the second', async () => {
    const whole = await club.db.task.findFirstOrThrow({ where: { buildId, listKey: 'cut-panels' }, include: { linksFrom: true } })
    await builder.post(url(whole.id, '/split'), { version: String(whole.version), firstName: 'Cut the bottom', secondName: 'Cut the sides', share: '50', order: 'after' })
    const [first, second] = [await club.db.task.findFirstOrThrow({ where: { buildId, name: 'Cut the bottom' } }), await club.db.task.findFirstOrThrow({ where: { buildId, name: 'Cut the sides' } })]
    const links = await club.db.link.findMany({ where: { buildId, OR: [{ fromId: { in: [first.id, second.id] } }, { toId: { in: [first.id, second.id] } }] } })
    expect(links.filter((l) => l.toId === first.id)).toHaveLength(1)
    expect(links.filter((l) => l.fromId === first.id).map((l) => l.toId)).toEqual([second.id])
    expect(links.filter((l) => l.fromId === second.id).map((l) => l.toId)).toEqual(whole.linksFrom.map((l) => l.toId))
  })

  test('deleted only while nobody worked on it; what it stood between is linked through', async () => {
    const mid = await taskOf('plane-panels')
    const after = await taskOf('cut-scarfs')
    expect((await builder.post(url(mid.id, '/delete'))).statusCode).toBe(303)
    const sides = await club.db.task.findFirstOrThrow({ where: { buildId, name: 'Cut the sides' } })
    expect(await club.db.link.count({ where: { fromId: sides.id, toId: after.id, kind: 'finish' } })).toBe(1)
    await builder.post(url(after.id, '/hours'), { hours: '1' })
    const refused = await builder.post(url(after.id, '/delete'))
    expect(refused.statusCode).toBe(422)
    expect(words(refused.body)).toContain('has been worked on')
    expect(await club.db.task.count({ where: { id: after.id } })).toBe(1)
  })
})

describe('links', () => {
  test('a circle is refused and its tasks are named in order', async () => {
    const [first, last] = [await taskOf('check-plans'), await taskOf('loft-panels')]
    const before = await club.db.link.count({ where: { buildId } })
    const answer = await link(first.id, { side: 'before', other: last.id, kind: 'finish', lag: '2' })
    expect(answer.statusCode).toBe(422)
    const page = words(answer.body)
    expect(page).toContain('That makes a circle')
    expect(page).toMatch(/“(Read the plans through, check sheets and offcuts|Mark out the hull panels, batten the curves)” → “(Read|Mark)/)
    expect(answer.body).toContain('value="2"')
    expect(await club.db.link.count({ where: { buildId } })).toBe(before)
  })

  test('a longest wait that ends before the work between is done is refused', async () => {
    const [loft, scarf] = [await taskOf('loft-panels'), await taskOf('glue-scarfs-bottom')]
    const answer = await link(scarf.id, { side: 'before', other: loft.id, kind: 'lag', edge: 'start', max: '1' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('can’t all be kept')
  })

  test('each kind is linked and unlinked', async () => {
    const [a, b] = [await taskOf('precoat-1'), await taskOf('drill-stitches')]
    for (const [fields, kind] of [
      [{ kind: 'stage', stage: 'fullCure' }, 'stage'], [{ kind: 'lag', edge: 'finish', min: '24', max: '1000' }, 'lag'], [{ kind: 'finish', lag: '1' }, 'finish'],
    ] as const) {
      const answer = await link(b.id, { side: 'before', other: a.id, ...fields })
      expect(answer.statusCode, words(answer.body)).toBe(303)
      const row = await club.db.link.findFirstOrThrow({ where: { fromId: a.id, toId: b.id, kind } })
      expect((await builder.post(url(b.id, `/links/${row.id}/remove`))).statusCode).toBe(303)
      expect(await club.db.link.count({ where: { id: row.id } })).toBe(0)
    }
  })

  test('a window needs a product with an opening, coats on both sides, and what happens when it is missed', async () => {
    const [coat, glue, dry] = [await taskOf('precoat-1'), await taskOf('glue-scarfs-sides'), await taskOf('drill-stitches')]
    const toDry = await link(coat.id, { side: 'after', other: dry.id, kind: 'window', wash: '1' })
    expect(words(toDry.body)).toContain('a recoat window lies between two coats')
    const fromGlue = await link(glue.id, { side: 'after', other: coat.id, kind: 'window', wash: '1' })
    expect(words(fromGlue.body)).toContain('has no time from which it takes the next coat')
    const noWash = await link(coat.id, { side: 'after', other: glue.id, kind: 'window' })
    expect(words(noWash.body)).toContain('How long washing and sanding takes if it is missed')
    expect([toDry, fromGlue, noWash].map((r) => r.statusCode)).toEqual([422, 422, 422])
  })

  test('a window shorter than the coat that is to meet it is refused with the way out', async () => {
    const epoxy = await club.db.cureProduct.findFirstOrThrow({ where: { name: 'Epoxy, slow hardener' } })
    // 6 h to 14 h: 8 hours long; 30 person-hours by two take 15.
    const reach = await club.db.session.create({ data: { siteId: (await club.make.site()).id, date: new Date('2026-06-14T00:00:00Z'), starts: '00:00', ends: '23:59' } })
    await add({ name: 'Coat a barge', productId: epoxy.id, smallest: '', likely: '30', high: '40' })
    const barge = await club.db.task.findFirstOrThrow({ where: { buildId, name: 'Coat a barge' } })
    const answer = await link(barge.id, { side: 'before', other: (await taskOf('precoat-1')).id, kind: 'window', wash: '1' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('is 8 h long at 20 °C and “Coat a barge” takes 15 h: split it')
    await club.db.session.delete({ where: { id: reach.id } })
  })

  test('two people who would close a circle between them: one of the two is refused', async () => {
    await add({ name: 'East' })
    await add({ name: 'West' })
    const [east, west] = [await club.db.task.findFirstOrThrow({ where: { name: 'East' } }), await club.db.task.findFirstOrThrow({ where: { name: 'West' } })]
    const answers = await Promise.all([link(east.id, { side: 'before', other: west.id, kind: 'finish' }), link(west.id, { side: 'before', other: east.id, kind: 'finish' })])
    expect(answers.map((a) => a.statusCode).sort()).toEqual([303, 422])
    expect(await club.db.link.count({ where: { fromId: { in: [east.id, west.id] }, toId: { in: [east.id, west.id] } } })).toBe(1)
  })
})
