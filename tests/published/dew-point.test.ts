/**
 * Dew point and the coating gate against published numbers. AE: Alduchov & Eskridge, J. Appl. Meteorol. 35 (1996) 601 (abstract
 * read, coefficients second-hand). WMO: WMO-No. 8, Annex 4.B (second-hand: instrument manual and metrology quote).
 */
import { describe, expect, test } from 'vitest'
import { dewPoint, gateAt, relativeHumidity, saturationVapourPressure } from '../../src/core/cure/index.ts'
import { celsius } from '../../src/core/units/index.ts'

const table = [
  // T, RH, AE, WMO, lowest surface (AE + 3, derived)
  [20, 50, 9.261, 9.255, 12.26],
  [20, 60, 12.0, 11.995, 15.0],
  [20, 70, 14.362, 14.359, 17.36],
  [20, 80, 16.444, 16.442, 19.44],
  [15, 80, 11.577, 11.575, 14.58],
  [10, 80, 6.708, 6.706, 9.71],
  [30, 55, 19.977, 19.972, 22.98],
] as const

describe('dew point', () => {
  test.each(table)('%i °C at %i %%: AE and WMO', (t, humidity, ae, wmo) => {
    expect(dewPoint(t, humidity, 'AE')).toBeCloseTo(ae, 3)
    expect(dewPoint(t, humidity, 'WMO')).toBeCloseTo(wmo, 3)
  })

  test('is 20 °C at 30 °C and 55 %, and 43 °C at 50 °C and 70 % (published checks, read)', () => {
    expect(Math.round(dewPoint(30, 55))).toBe(20)
    expect(Math.round(dewPoint(50, 70))).toBe(43)
    expect(dewPoint(50, 70)).toBeCloseTo(43.02, 3)
  })

  test('is 57.70 °F at 70 °F and 65 %, 59.70 °F at 80 °F and 50 %: two paint charts print 57 and 59, cut off (trap, read)', () => {
    const fahrenheit = (f: number, humidity: number) => (dewPoint(((f - 32) * 5) / 9, humidity) * 9) / 5 + 32
    expect(fahrenheit(70, 65)).toBeCloseTo(57.7, 2)
    expect(fahrenheit(80, 50)).toBeCloseTo(59.7, 2)
  })

  test('is near T - (100 - RH) / 5 above 50 % (Lawrence, BAMS 86 (2005) 225, read; within 1 °C in a workshop, 10 to 25 °C: derived)', () => {
    for (let t = 10; t <= 25; t += 5) {
      for (let humidity = 55; humidity <= 100; humidity += 5) {
        expect(Math.abs(dewPoint(t, humidity) - (t - (100 - humidity) / 5)), `${t} °C, ${humidity} %`).toBeLessThan(1)
      }
    }
  })

  test('is refused for a humidity of 0 or above 100 %', () => {
    expect(() => dewPoint(20, 0)).toThrow(RangeError)
    expect(() => dewPoint(20, 101)).toThrow(RangeError)
  })
})

describe('vapour pressure and humidity', () => {
  test('saturation at 20 °C is 23.3344 hPa (AE, derived)', () => expect(saturationVapourPressure(20)).toBeCloseTo(23.3344, 4))

  test.each(['AE', 'WMO'] as const)('humidity comes back from the dew point with %s', (coefficients) => {
    for (const [t, humidity] of table) expect(relativeHumidity(t, dewPoint(t, humidity, coefficients), coefficients)).toBeCloseTo(humidity, 9)
  })

  test('the two coefficient sets agree within 0.1 % at workshop temperatures', () => {
    for (let t = 0; t <= 40; t += 5) {
      expect(Math.abs(saturationVapourPressure(t, 'AE') / saturationVapourPressure(t, 'WMO') - 1)).toBeLessThan(0.001)
    }
  })
})

/** Surface at least 3 °C above dew point and at most 85 % humidity: usually cited to ISO 8502-4 / ISO 12944-7 (second-hand). */
const gate = { minAir: null, maxAir: null, maxHumidity: 85, dewPointMargin: 3 }

describe('coating gate', () => {
  test.each(table)('%i °C at %i %%: opens at a surface of dew point + 3 °C', (t, humidity, _ae, _wmo, floor) => {
    const climate = { air: celsius(t), dewPoint: celsius(dewPoint(t, humidity)) }
    // The floor is printed to 0.01 °C: 0.01 above it is open, 0.01 below it shut.
    expect(gateAt(gate, climate, celsius(floor - t + 0.01))).toBe(null)
    expect(gateAt(gate, climate, celsius(floor - t - 0.01))).toBe('dew')
  })

  test('85 % is open and 85.1 % is shut', () => {
    const warm = { ...gate, dewPointMargin: null }
    const at = (humidity: number) => gateAt(warm, { air: celsius(18), dewPoint: celsius(dewPoint(18, humidity)) }, celsius(-2))
    expect(at(85)).toBe(null)
    expect(at(85.1)).toBe('humid')
  })

  test('a chart of 5 °F asks for 2.78 °C instead (charts, read): a gate set to it opens 0.22 °C earlier', () => {
    const chart = { ...gate, dewPointMargin: (5 * 5) / 9 }
    const climate = { air: celsius(20), dewPoint: celsius(10) }
    expect(gateAt(chart, climate, celsius(-7.2))).toBe(null)
    expect(gateAt(gate, climate, celsius(-7.2))).toBe('dew')
  })
})
