/**
 * The day a photo was taken, from what the camera wrote into it (Exif 2.3: a TIFF structure whose tag 0x8769 leads to the camera's own tags;
 * 0x9003 DateTimeOriginal, 0x0132 DateTime, each 'YYYY:MM:DD HH:MM:SS' by the camera's clock, which has no zone). Pure.
 */
const EXIF_IFD = 0x8769
const DATE_TIME_ORIGINAL = 0x9003
const DATE_TIME = 0x0132
const ASCII = 2

/** 'YYYY-MM-DD'; null where there is none, or the bytes are not what they say. */
export function exifDay(exif: Uint8Array | undefined): string | null {
  if (!exif) return null
  const from = isAt(exif, 0, 'Exif\0\0') ? 6 : 0
  const tiff = new DataView(exif.buffer, exif.byteOffset + from, exif.byteLength - from)
  try {
    const little = tiff.getUint16(0) === 0x4949
    if (!little && tiff.getUint16(0) !== 0x4d4d) return null
    const main = tagsOf(tiff, tiff.getUint32(4, little), little)
    const camera = main.get(EXIF_IFD)
    const own = camera === undefined ? undefined : tagsOf(tiff, tiff.getUint32(camera + 8, little), little).get(DATE_TIME_ORIGINAL)
    return dayAt(tiff, own ?? main.get(DATE_TIME), little)
  } catch (error) {
    // An address that leads outside: the photo is as good without its date.
    if (error instanceof RangeError) return null
    throw error
  }
}

/** Where each tag's twelve bytes begin. */
function tagsOf(tiff: DataView, at: number, little: boolean): Map<number, number> {
  const count = Math.min(tiff.getUint16(at, little), 500)
  return new Map(Array.from({ length: count }, (_, n) => {
    const entry = at + 2 + n * 12
    return [tiff.getUint16(entry, little), entry] as const
  }))
}

function dayAt(tiff: DataView, entry: number | undefined, little: boolean): string | null {
  if (entry === undefined || tiff.getUint16(entry + 2, little) !== ASCII || tiff.getUint32(entry + 4, little) < 10) return null
  const at = tiff.getUint32(entry + 8, little)
  const text = String.fromCharCode(...Array.from({ length: 10 }, (_, n) => tiff.getUint8(at + n)))
  const match = /^(\d{4})[:-](\d{2})[:-](\d{2})$/.exec(text)
  const day = match && `${match[1]}-${match[2]}-${match[3]}`
  return day && !Number.isNaN(Date.parse(day)) && new Date(day).toISOString().startsWith(day) ? day : null
}

const isAt = (bytes: Uint8Array, at: number, text: string): boolean => [...text].every((c, n) => bytes[at + n] === c.charCodeAt(0))

/** A camera's clock may never have been set: only a day between a year before the build began and today is offered. */
export function plausibleDay(day: string | null, { startedOn, today }: { startedOn: string; today: string }): string | null {
  if (day === null || day > today) return null
  const earliest = `${Number(startedOn.slice(0, 4)) - 1}${startedOn.slice(4)}`
  return day >= earliest ? day : null
}
