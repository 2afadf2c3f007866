import { encode } from 'uqr'

/** A QR code (ISO/IEC 18004) as one path of squares with the quiet zone of four around it. */
export type QrSquares = { size: number; path: string }

const QUIET = 4

/** Level M: a shelf label gets resin on it. */
export function qrSquares(text: string): QrSquares {
  const { data, size } = encode(text, { ecc: 'M', border: QUIET })
  const rows = data.map((row, y) => {
    const runs: string[] = []
    for (let x = 0; x < row.length; x++) {
      if (!row[x]) continue
      const from = x
      while (row[x + 1]) x++
      runs.push(`M${from} ${y}h${x - from + 1}v1h${from - x - 1}z`)
    }
    return runs.join('')
  })
  return { size, path: rows.join('') }
}
