import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { smallClub, textOf } from './club.ts'

// Saturday 30 May 2026, 19:00 in Berlin.
const club = await testClub({ now: '2026-05-30T17:00:00Z' })
const small = await smallClub(club)
const ann = await club.as(small.ann.id)
await small.session('2026-05-31', '10:00', '16:00')
const ask = async (query: string) => textOf((await ann.get(`/overnight?${query}`)).body)
const floor = `place=${small.place.id}`

test('a coat put on in the evening opens at night and is met in the morning: who is there, from when', async () => {
  // 60 min from 19:00, opens 351 min (300 min at 20 °C by the slower energy at 18 °C) after 20:00 = 01:51; shut 24 h after 19:00 by the clock.
  const page = await ask(`product=${small.epoxy.id}&${floor}`)
  expect(page).toContain('Go ahead The window opens Sun 01:51 and shuts 19:00. Ann (Sun 10:00–16:00) and Ben (Sun 10:00–16:00) are there.')
  expect(page).toContain('Coldest 18 °C')
  expect(page).toContain('Slow epoxy in Main floor, Sat 19:00–20:00')
})

test('a window that shuts before anybody comes is said plainly, with what it costs and the way out', async () => {
  const quick = await club.db.cureProduct.create({
    data: { name: 'Quick epoxy', kind: 'epoxy', referenceTemp: 18, opensMin: 120, closesMin: 360, sandableMin: 600, fullCureMin: 5000, cureFloor: 8, source: 'made up for this test' },
  })
  // At its reference temperature clock and age are the same: opens 20:00 + 2 h, shuts 19:00 + 6 h, sandable 20:00 + 10 h.
  const page = await ask(`product=${quick.id}&${floor}`)
  expect(page).toContain('Nobody is there in time The window opens Sat 22:00 and shuts Sun 01:00. Nobody is there; next comes Ann, Sun 10:00.')
  expect(page).toContain('it can be washed and sanded from Sun 06:00')
})

test('below the floor it does not cure: too cold tonight', async () => {
  const cold = await club.make.place({ siteId: small.site.id, name: 'Lean-to', monthlyAir: Array<number>(12).fill(6), monthlyDew: Array<number>(12).fill(0) })
  const hardy = await club.db.cureProduct.create({ data: { name: 'Hardy epoxy', kind: 'epoxy', referenceTemp: 20, opensMin: 300, closesMin: 900, cureFloor: 8, source: 'made up for this test' } })
  const page = await ask(`product=${hardy.id}&place=${cold.id}`)
  expect(page).toContain('Too cold tonight It gets down to 6 °C; below 8 °C this product does not cure')
  // One whose data sheet asks for 10 °C must not even be begun.
  expect(await ask(`product=${small.epoxy.id}&place=${cold.id}`)).toContain('Too cold to begin It is 6 °C in Lean-to then, and the product asks for at least 10 °C.')
})

test('a window that would shut before it opens is none', async () => {
  // At 10 °C the two energies lie apart: opens by 55 kJ/mol x 2.2 of 300 min, shuts by 18 kJ/mol x 1.3 of 330 min.
  const cool = await club.make.place({ siteId: small.site.id, name: 'Loft', monthlyAir: Array<number>(12).fill(10), monthlyDew: Array<number>(12).fill(0) })
  const short = await club.db.cureProduct.create({ data: { name: 'Short epoxy', kind: 'epoxy', referenceTemp: 20, opensMin: 300, closesMin: 330, sandableMin: 600, cureFloor: 5, source: 'made up for this test' } })
  expect(await ask(`product=${short.id}&place=${cool.id}`)).toMatch(/Too cold tonight The window would open Sun \d\d:\d\d but shut .*: there is none\./)
})

test('another time can be asked for; what can’t be read is said at its field', async () => {
  expect(await ask(`product=${small.epoxy.id}&${floor}&date=2026-05-31&time=10%3A00&minutes=30`)).toContain('Slow epoxy in Main floor, Sun 10:00–10:30')
  const bad = await ann.get(`/overnight?product=${small.epoxy.id}&${floor}&minutes=abc&time=25:00`)
  expect(bad.statusCode).toBe(422)
  expect(bad.body).toContain('Whole minutes, at most a day')
  expect(bad.body).toContain('A time like 14:30')
  expect(bad.body).toContain('value="abc"')
})
