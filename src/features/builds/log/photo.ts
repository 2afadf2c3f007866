/** What becomes of a photo that somebody sends: upright, of a size for pages, and with nothing in it but the picture. */
import { ok, refuse, type Result } from '../../../core/result.ts'
import { exifDay } from './exif.ts'

/** Longest side in pixels, as kept and as shown in lists. */
export const WHOLE = 1600
export const SMALL = 400
/** Larger ones are refused by their header, before a pixel is unpacked. */
export const MAX_PIXELS = 50_000_000
const QUALITY = 80
const AT_ONCE = 2

export type ReadPhoto = { whole: Buffer; small: Buffer; width: number; height: number; takenOn: string | null }

/** Loaded with the first photo. One photo is read by one thread, and nothing of it is kept afterwards: pages come first. */
async function reader() {
  const { default: sharp } = await import('sharp')
  sharp.concurrency(1)
  sharp.cache(false)
  return sharp
}

/** JPEG, PNG or WebP bytes → JPEG without place, camera, thumbnail or anything else beside its pixels; or why not, in words that go after its name. */
export async function readPhoto(bytes: Uint8Array): Promise<Result<ReadPhoto, string>> {
  const kind = kindOf(bytes)
  if (kind !== 'photo') return refuse(NOT[kind])
  return inTurn(async () => {
    try {
      return await convert(bytes)
    } catch (error) {
      return refuse(/pixel limit/i.test((error as Error).message) ? TOO_MANY : NOT.damaged)
    }
  })
}

const TOO_MANY = 'has more than 50 megapixels: make it smaller first'
const NOT = {
  empty: 'has nothing in it',
  heic: 'is a HEIC photo, which can’t be read here: set the phone’s camera to “most compatible”, or send it as JPEG',
  none: 'is no photo that can be read here: JPEG, PNG and WebP can',
  moving: 'moves: take a still picture',
  damaged: 'can’t be read to its end: it is damaged, or was cut off on the way',
} as const

async function convert(bytes: Uint8Array): Promise<Result<ReadPhoto, string>> {
  const sharp = await reader()
  const options = { limitInputPixels: MAX_PIXELS, failOn: 'error' as const }
  const { width = 0, height = 0, pages = 1, exif } = await sharp(bytes, options).metadata()
  if (pages > 1) return refuse(NOT.moving)
  if (width * height > MAX_PIXELS) return refuse(TOO_MANY)
  const whole = await sharp(bytes, options).autoOrient().resize({ width: WHOLE, height: WHOLE, fit: 'inside', withoutEnlargement: true })
    .flatten({ background: '#ffffff' }).toColourspace('srgb').jpeg({ quality: QUALITY }).toBuffer({ resolveWithObject: true })
  const small = await sharp(whole.data).resize({ width: SMALL, height: SMALL, fit: 'inside', withoutEnlargement: true }).jpeg({ quality: QUALITY }).toBuffer()
  return ok({ whole: whole.data, small, width: whole.info.width, height: whole.info.height, takenOn: exifDay(exif) })
}

/** By its first bytes, whatever its name says, so that nothing but the readers of photos ever sees it. */
function kindOf(bytes: Uint8Array): 'photo' | 'heic' | 'none' | 'empty' {
  const text = (at: number, length: number) => String.fromCharCode(...bytes.subarray(at, at + length))
  if (bytes.length === 0) return 'empty'
  if (text(0, 3) === '\xff\xd8\xff' || text(0, 8) === '\x89PNG\r\n\x1a\n' || (text(0, 4) === 'RIFF' && text(8, 4) === 'WEBP')) return 'photo'
  return text(4, 4) === 'ftyp' && /^(hei|hev|mif|msf)/.test(text(8, 4)) ? 'heic' : 'none'
}

let free = AT_ONCE
const waiting: (() => void)[] = []

async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  if (free > 0) free--
  else await new Promise<void>((go) => waiting.push(go))
  try {
    return await work()
  } finally {
    // Whoever waits longest takes the place over.
    const next = waiting.shift()
    if (next) next()
    else free++
  }
}
