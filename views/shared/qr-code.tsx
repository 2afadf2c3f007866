/** A QR code as `qrSquares` draws it; black on white in the dark, too. */
export function QrCode({ qr, label, width = 140 }: { qr: { size: number; path: string }; label: string; width?: number }) {
  return (
    <svg class="qr" viewBox={`0 0 ${qr.size} ${qr.size}`} width={width} height={width} role="img" aria-label={label} shape-rendering="crispEdges">
      <rect class="qr-ground" width={qr.size} height={qr.size} />
      <path class="qr-ink" d={qr.path} />
    </svg>
  )
}
