/** Conversions against the exact definitions: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg (1959 agreement), 1 US fl oz = 29.5735295625 mL (231 in³ / 128). */
import { expect, test } from 'vitest'
import { kgSpread } from '../../views/builds/weight-words.ts'
import { amount, amountRange, area, length, mass, stockNeed, temperature } from '../../views/shared/format.ts'

const metric = { locale: 'en-GB', units: 'metric', currency: 'EUR' } as const
const imperial = { ...metric, units: 'imperial' } as const

test('what a task needs is told in the club’s units, likely first', () => {
  expect(amountRange({ low: 0.7, likely: 0.8, high: 0.9, unit: 'm2' }, metric)).toBe('0.8 m² (0.7 m² to 0.9 m²)')
  expect(amountRange({ low: 240, likely: 240, high: 240, unit: 'g' }, metric)).toBe('240 g')
  expect(amount(1250, 'g', metric)).toBe('1.25 kg')
  expect(amount(800, 'ml', metric)).toBe('800 ml')
  expect(amount(12, 'pcs', metric)).toBe('12')
})

test('imperial figures follow the exact definitions', () => {
  expect(length(3.048, imperial)).toBe('10 ft') // 10 × 0.3048
  expect(mass(453.59237 * 2, imperial)).toBe('2 lb')
  expect(area(0.09290304 * 20, imperial)).toBe('20 ft²')
  expect(temperature(20, imperial)).toBe('68 °F')
  expect(amount(29.5735295625 * 4, 'ml', imperial)).toBe('4 fl oz')
})

test('what is still to be drawn is told as people weigh and count', () => {
  expect(stockNeed(46_280, 'g', metric)).toBe('46 g')
  expect(stockNeed(2_840, 'g', metric)).toBe('2.8 g')
  expect(stockNeed(7_275_431, 'g', metric)).toBe('7.28 kg')
  expect(stockNeed(386_520, 'ml', metric)).toBe('387 ml')
  expect(stockNeed(6_874, 'm2', metric)).toBe('6.87 m²')
  expect(stockNeed(74_970, 'pcs', metric)).toBe('75 pcs')
  expect(stockNeed(2_500, 'pcs', metric)).toBe('2.5 pcs') // half a sheet is not a whole one
})

test('a mass and its range have one unit between them, or each its own', () => {
  const said = (low: number, likely: number, high: number) => kgSpread({ low, likely, high }, { ...metric, name: 'Reedwater', zone: 'Europe/Berlin' }).replaceAll('\u00A0', ' ')
  expect(said(33, 36.8, 39)).toBe('36.8 kg (33–39)')
  expect(said(0.27, 0.441, 0.65)).toBe('441 g (270–650)')
  expect(said(0.1, 0.41, 1.04)).toBe('410 g (100 g to 1 kg)')
})
