import { describe, expect, test } from 'vitest'
import { centsFor, mixPrice, unitPrice, type PricedItem } from '../../../src/features/builds/facts/prices.ts'

const NONE = { density: null, widthMm: null }
const item = (over: Partial<PricedItem>): PricedItem => ({ id: 'x', name: 'Item', unit: 'g', ...NONE, packs: [], held: { milli: 0, cents: 0 }, ...over })
const pack = (name: string, amount: number, priceCents: number) => ({ name, milli: amount * 1000, priceCents })

describe('the price of one unit', () => {
  test('is that of the pack which is cheapest by quantity, whatever the stock cost', () => {
    // 1 kg at 24.00 is 2.4 cents a gram; 5 kg at 95.00 is 1.9; the stock cost 1.0 a gram.
    const resin = item({ packs: [pack('1 kg', 1000, 2400), pack('5 kg', 5000, 9500)], held: { milli: 2_000_000, cents: 2000 } })
    expect(unitPrice(resin)).toEqual({ cents: 1.9, unit: 'g', from: 'pack', pack: '5 kg' })
  })

  test('a pack without a price is not free: it is left out', () => {
    expect(unitPrice(item({ packs: [pack('sample', 100, 0), pack('1 kg', 1000, 2400)] }))!.cents).toBe(2.4)
  })

  test('without priced packs it is what the stock cost on average, and without that it is not known', () => {
    // 12 sheets for 540.00: 45.00 each.
    const ply = item({ unit: 'pcs', packs: [pack('sheet', 1, 0)], held: { milli: 12_000, cents: 54_000 } })
    expect(unitPrice(ply)).toEqual({ cents: 4500, unit: 'pcs', from: 'average', pack: null })
    expect(unitPrice(item({ packs: [pack('sheet', 1, 0)] }))).toBeNull()
    // Given to the club: what it cost says nothing about the next.
    expect(unitPrice(item({ held: { milli: 5000, cents: 0 } }))).toBeNull()
  })
})

describe('the price of a mix', () => {
  const resin = item({ name: 'Resin', packs: [pack('5 kg', 5000, 9500)] })

  test('is shared between resin and hardener by mass', () => {
    // 100:44 by mass; resin 1.9 and hardener 2.5 cents a gram: (190 + 110) / 144 = 2.0833 cents a gram.
    const hardener = item({ name: 'Hardener', packs: [pack('2 kg', 2000, 5000)] })
    expect(mixPrice({ resin, hardener, ratio: { a: 100, b: 44 } })!.cents).toBeCloseTo(300 / 144, 10)
  })

  test('a part that is sold by volume is priced by its density, and not at all without it', () => {
    // 1 l at 22.00: 2.2 cents a ml; at 1.1 g/ml a gram is 1/1.1 ml: 2.0 cents. (190 + 88) / 144.
    const byVolume = item({ name: 'Hardener', unit: 'ml', density: 1.1, packs: [pack('1 l', 1000, 2200)] })
    expect(mixPrice({ resin, hardener: byVolume, ratio: { a: 100, b: 44 } })!.cents).toBeCloseTo(278 / 144, 10)
    expect(mixPrice({ resin, hardener: { ...byVolume, density: null }, ratio: { a: 100, b: 44 } })).toBeNull()
    expect(mixPrice({ resin, hardener: item({}), ratio: { a: 100, b: 44 } })).toBeNull()
  })
})

describe('what an amount costs', () => {
  const perMetre = { cents: 950, unit: 'm', from: 'pack', pack: 'roll' } as const

  test('is in whole cents at each end', () => {
    // 333.3 g at 2.0833 cents: 694.36 → 694; 500 g: 1041.65 → 1042; 0 g: nothing.
    expect(centsFor({ low: 0, likely: 333.3, high: 500 }, 'g', { cents: 2.0833, unit: 'g', from: 'parts', pack: null }, NONE)).toEqual({ low: 0, likely: 694, high: 1042 })
  })

  test('square metres off a roll are metres by its width, and no price where the width is not known', () => {
    // 5 m² of a roll 1.25 m wide: 4 m at 9.50 = 38.00.
    expect(centsFor({ low: 5, likely: 5, high: 6.25 }, 'm2', perMetre, { density: null, widthMm: 1250 })).toEqual({ low: 3800, likely: 3800, high: 4750 })
    expect(centsFor({ low: 5, likely: 5, high: 5 }, 'm2', perMetre, NONE)).toBeNull()
  })
})
