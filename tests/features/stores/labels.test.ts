import { decodeQR } from 'qr/decode.js'
import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z', config: { publicUrl: 'https://boats.example.org' } })
const builder = await club.signedIn(['builder'])

/** Paints the squares of a page's code, four pixels each, and has another's code read it (ISO/IEC 18004). */
function readCode(html: string): string[] {
  return [...html.matchAll(/<svg class="qr" viewBox="0 0 (\d+) \d+".*?<path class="qr-ink" d="([^"]+)"/g)].map(([, size, path]) => {
    const [n, scale] = [Number(size), 4]
    const width = n * scale
    const data = new Uint8Array(width * width * 4).fill(255)
    for (const [, x, y, run] of path!.matchAll(/M(\d+) (\d+)h(\d+)v1h-\d+z/g)) {
      for (let py = Number(y) * scale; py < (Number(y) + 1) * scale; py++) {
        for (let px = Number(x) * scale; px < (Number(x) + Number(run)) * scale; px++) data.fill(0, (py * width + px) * 4, (py * width + px) * 4 + 3)
      }
    }
    return decodeQR({ width, height: width, data })
  })
}

test('the code on a shelf label opens the page of its item', async () => {
  const [a, b] = [await club.make.item({ name: 'A resin', shelf: 'Rack 1', signalWord: 'Warning', hazards: ['H317 May cause an allergic skin reaction'] }), await club.make.item({ name: 'B tape', unit: 'm' })]
  const html = (await builder.get(`/stores/labels?item=${a.id}&item=${b.id}`)).body
  // By shelf: those without one come first.
  expect(readCode(html)).toEqual([`https://boats.example.org/stores/items/${b.id}`, `https://boats.example.org/stores/items/${a.id}`])
  expect(html).toContain('Rack 1')
  expect(html).toContain('H317 May cause an allergic skin reaction')
  expect((await builder.get(`/stores/items/${a.id}`)).statusCode).toBe(200)
})

test('without a choice there is one to make, and what is no item is left out', async () => {
  const html = (await builder.get('/stores/labels?item=nonsense')).body
  expect(readCode(html)).toEqual([])
  expect(html).toContain('Which labels')
})
