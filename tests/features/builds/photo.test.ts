/** What becomes of a photo: by itself, without the service around it. */
import { deflateSync } from 'node:zlib'
import fc from 'fast-check'
import sharp from 'sharp'
import { describe, expect, test } from 'vitest'
import { exifDay, plausibleDay } from '../../../src/features/builds/log/exif.ts'
import { MAX_PIXELS, readPhoto, SMALL, WHOLE } from '../../../src/features/builds/log/photo.ts'
import { corners, picture } from '../../support/pictures.ts'

const read = async (bytes: Uint8Array) => {
  const result = await readPhoto(bytes)
  if (!result.ok) throw new Error(result.refusal)
  return result.value
}
const refusalOf = async (bytes: Uint8Array) => {
  const result = await readPhoto(bytes)
  return result.ok ? 'taken' : result.refusal
}

/**
 * Where the picture's corners, clockwise from its top left, come to be, by the orientation tag (0x0112; Exif 2.3 / TIFF 6.0, from memory): its value says
 * which sides of the scene row 0 and column 0 of the stored picture are. 1 top, left; 2 top, right; 3 bottom, right; 4 bottom, left; 5 left, top;
 * 6 right, top; 7 right, bottom; 8 left, bottom. Stored is red on the left: R B B R.
 */
const UPRIGHT: Record<number, string> = { 1: 'RBBR', 2: 'BRRB', 3: 'BRRB', 4: 'RBBR', 5: 'RRBB', 6: 'RRBB', 7: 'BBRR', 8: 'BBRR' }

/** A square PNG of one bit a pixel (PNG specification, W3C: signature, then IHDR, IDAT, IEND, each with its length and CRC). */
function blackPng(side: number): Buffer {
  const chunk = (type: string, data: Buffer) => {
    const body = Buffer.concat([Buffer.from(type, 'latin1'), data])
    const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)]
    length.writeUInt32BE(data.length)
    sum.writeUInt32BE(crc32(body))
    return Buffer.concat([length, body, sum])
  }
  const head = Buffer.alloc(13)
  head.writeUInt32BE(side, 0)
  head.writeUInt32BE(side, 4)
  head[8] = 1
  const rows = deflateSync(Buffer.alloc(side * (1 + Math.ceil(side / 8))))
  return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), chunk('IHDR', head), chunk('IDAT', rows), chunk('IEND', Buffer.alloc(0))])
}

/** The CRC of PNG: polynomial 0xEDB88320, begun and ended with all ones. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0)
  }
  return (crc ^ 0xffffffff) >>> 0
}

describe('a photo that is taken', () => {
  test('place, camera, time, thumbnail and orientation are gone and its pixels stand upright, in every orientation and kind of file', async () => {
    await fc.assert(fc.asyncProperty(
      fc.constantFrom(1, 2, 3, 4, 5, 6, 7, 8), fc.constantFrom('jpeg' as const, 'png' as const, 'webp' as const), fc.integer({ min: 20, max: 90 }), fc.integer({ min: 20, max: 90 }),
      async (orientation, format, width, height) => {
        const sent = await picture({ orientation, format, width, height, taken: '2026:05:02 10:11:12', gps: true })
        const before = await sharp(sent).metadata()
        expect([before.orientation, before.exif?.includes(Buffer.from('Camera maker'))]).toEqual([orientation, true])
        const photo = await read(sent)
        for (const bytes of [photo.whole, photo.small]) {
          const after = await sharp(bytes).metadata()
          expect([after.format, after.exif, after.orientation, after.iptc, after.xmp, after.icc]).toEqual(['jpeg', undefined, undefined, undefined, undefined, undefined])
          expect(bytes.includes(Buffer.from('Exif'))).toBe(false)
          expect(await corners(bytes)).toBe(UPRIGHT[orientation])
        }
        // From 5 on the picture lies on its side.
        expect([photo.width, photo.height]).toEqual(orientation >= 5 ? [height, width] : [width, height])
        expect(photo.takenOn).toBe('2026-05-02')
      }), { numRuns: process.env['GARBOARD_LONG'] ? 200 : 16 })
  })

  test('its longest side is at most 1600 pixels, and 400 in lists; a small one is not blown up', async () => {
    const photo = await read(await picture({ width: 2000, height: 1000 }))
    // 2000 × 1000 at 1600 / 2000 is 1600 × 800; in lists 400 × 200.
    expect([photo.width, photo.height, WHOLE, SMALL]).toEqual([1600, 800, 1600, 400])
    const small = await sharp(photo.small).metadata()
    expect([small.width, small.height]).toEqual([400, 200])
    const tiny = await read(await picture({ width: 50, height: 40 }))
    expect([tiny.width, tiny.height]).toEqual([50, 40])
  })

  test('what is clear in a PNG becomes white, not black', async () => {
    const clear = await sharp({ create: { width: 20, height: 20, channels: 4, background: { r: 0, g: 0, b: 0, alpha: 0 } } }).png().toBuffer()
    const { dominant } = await sharp((await read(clear)).whole).stats()
    expect([dominant.r, dominant.g, dominant.b].every((c) => c > 240)).toBe(true)
  })
})

describe('what is no photo', () => {
  test.each([
    ['text with a photo’s name', Buffer.from('dear diary, the bottom is on'), 'no photo that can be read'],
    ['nothing', Buffer.alloc(0), 'nothing in it'],
    ['a drawing that could hold script', Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script><rect width="9" height="9"/></svg>'), 'no photo that can be read'],
    ['a PDF', Buffer.from('%PDF-1.7 and more'), 'no photo that can be read'],
    ['a HEIC photo', Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from('ftypheic'), Buffer.alloc(40)]), 'HEIC'],
    ['the head of a JPEG and then noise', Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.from('this is not one, whatever it says')]), 'damaged'],
  ])('%s is refused in words', async (_name, bytes, message) => {
    expect(await refusalOf(bytes)).toContain(message)
  })

  test.each(['jpeg', 'png', 'webp'] as const)('a %s that was cut off on the way is refused', async (format) => {
    // Noise, so that half of the file is far from half of nothing.
    const noise = await sharp({ create: { width: 300, height: 300, channels: 3, noise: { type: 'gaussian', mean: 128, sigma: 60 }, background: '#808080' } }).toFormat(format).toBuffer()
    expect(await refusalOf(noise)).toBe('taken')
    expect(await refusalOf(noise.subarray(0, Math.floor(noise.length / 2)))).toContain('damaged, or was cut off')
  })

  test('a moving picture is refused', async () => {
    const frame = await picture({ width: 20, height: 20, format: 'png' })
    const other = await sharp(frame).negate().toBuffer()
    const frames = await sharp([frame, other, frame], { join: { animated: true } }).webp().toBuffer()
    expect((await sharp(frames).metadata()).pages).toBe(3)
    expect(await refusalOf(frames)).toContain('moves')
  })

  test('a small file that unpacks to more than 50 megapixels is refused by its header', async () => {
    // 7100 × 7100 = 50.41 million pixels of black, a bit each: a few kilobytes. One of 7000 × 7000 = 49 million is taken.
    const [bomb, large] = [blackPng(7100), blackPng(7000)]
    expect([7100 * 7100 > MAX_PIXELS, bomb.length < 20_000]).toEqual([true, true])
    expect(await refusalOf(bomb)).toContain('50 megapixels')
    expect(await refusalOf(large)).toBe('taken')
  })
})

describe('the day a camera wrote', () => {
  test('is read from either byte order, and from nothing that is broken', async () => {
    const { exif } = await sharp(await picture({ taken: '2026:04:30 23:59:59' })).metadata()
    expect(exifDay(exif)).toBe('2026-04-30')
    // By hand, Motorola byte order: IFD0 with one entry 0x0132 of 20 letters at offset 26.
    const hand = Buffer.alloc(46)
    hand.write('MM', 0)
    hand.writeUInt16BE(42, 2)
    hand.writeUInt32BE(8, 4)
    hand.writeUInt16BE(1, 8)
    hand.writeUInt16BE(0x0132, 10)
    hand.writeUInt16BE(2, 12)
    hand.writeUInt32BE(20, 14)
    hand.writeUInt32BE(26, 18)
    hand.write('2025:12:24 18:00:00\0', 26)
    expect(exifDay(hand)).toBe('2025-12-24')
    hand.writeUInt32BE(4_000_000, 18)
    expect(exifDay(hand)).toBeNull()
  })

  test('any bytes give a day or none, and never a fault', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
      for (const head of ['', 'MM\0*', 'II*\0', 'Exif\0\0MM\0*']) {
        const day = exifDay(Buffer.concat([Buffer.from(head, 'latin1'), bytes]))
        expect(day === null || /^\d{4}-\d\d-\d\d$/.test(day)).toBe(true)
      }
    }))
  })

  test.each([
    ['2026-05-02', '2026-05-02'],
    ['2026-05-31', null], // tomorrow
    ['2025-05-01', '2025-05-01'], // a year before she was begun
    ['2025-04-30', null],
    ['2000-01-01', null], // a clock that was never set
    [null, null],
  ])('%s is offered as %s', (day, offered) => {
    expect(plausibleDay(day, { startedOn: '2026-05-01', today: '2026-05-30' })).toBe(offered)
  })
})
