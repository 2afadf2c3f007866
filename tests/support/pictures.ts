import sharp from 'sharp'

type Made = { width?: number; height?: number; format?: 'jpeg' | 'png' | 'webp'; orientation?: number; taken?: string; gps?: boolean }

const RED = { r: 220, g: 30, b: 30 }
const BLUE = { r: 30, g: 30, b: 220 }

/** A picture whose left half is red and whose right half is blue, with what a camera writes beside it. */
export async function picture({ width = 60, height = 30, format = 'jpeg', orientation, taken, gps }: Made = {}): Promise<Buffer> {
  const half = Math.floor(width / 2)
  const left = await sharp({ create: { width: half, height, channels: 3, background: RED } }).png().toBuffer()
  let made = sharp({ create: { width, height, channels: 3, background: BLUE } }).composite([{ input: left, left: 0, top: 0 }])
  if (taken || gps) {
    made = made.withExif({
      IFD0: { Make: 'Camera maker', Model: 'Model 1', Copyright: 'Somebody' },
      ...(taken && { IFD2: { DateTimeOriginal: taken } }),
      ...(gps && { IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '54/1 19/1 30/1', GPSLongitudeRef: 'E', GPSLongitude: '10/1 8/1 0/1' } }),
    })
  }
  if (orientation !== undefined) made = made.withMetadata({ orientation })
  return made.toFormat(format, { quality: 95 }).toBuffer()
}

/** The corners of a picture, each as R or B: top left, top right, bottom right, bottom left. */
export async function corners(bytes: Uint8Array): Promise<string> {
  const { data, info } = await sharp(bytes).removeAlpha().raw().toBuffer({ resolveWithObject: true })
  const at = (x: number, y: number) => ((data[(y * info.width + x) * info.channels] ?? 0) > 125 ? 'R' : 'B')
  const [right, bottom] = [info.width - 3, info.height - 3]
  return [at(2, 2), at(right, 2), at(right, bottom), at(2, bottom)].join('')
}
