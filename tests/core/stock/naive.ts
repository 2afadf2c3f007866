import type { EntryRow } from '../../../src/core/stock/index.ts'

type Part = { q: bigint; v: bigint }
export type Told = { readonly id: string; readonly qty: number; readonly value: number }

const half = (n: bigint, d: bigint): bigint => (2n * n + d) / (2n * d)
const sum = (parts: readonly Part[], key: keyof Part): bigint => parts.reduce((all, part) => all + part[key], 0n)

/** Shares by largest remainder, one cent at a time to whoever is furthest below the exact quota. */
function byQuota(total: bigint, weights: readonly bigint[]): bigint[] {
  const all = weights.reduce((a, b) => a + b, 0n)
  const shares = weights.map((w) => (total * w) / all)
  for (let over = total - shares.reduce((a, b) => a + b, 0n); over > 0n; over--) {
    let most = 0
    const behind = (i: number): bigint => total * weights[i]! - shares[i]! * all
    for (let i = 1; i < weights.length; i++) if (behind(i) > behind(most)) most = i
    shares[most]! += 1n
  }
  return shares
}

/**
 * The ledger again, from the specification and sharing nothing with core: what each entry of the rows must be worth, and what is left.
 * It knows only what the rows say: receipts and finds in empty pools bring their value, all else is worked out.
 */
export function naive(rows: readonly EntryRow[]) {
  const pools = new Map<string, Part[]>()
  const lots = new Map<string, bigint>()
  const charges = new Map<string, bigint>()
  const worth = new Map<string, { row: EntryRow; q: bigint; v: bigint }>()
  const told: Told[] = []

  for (const row of rows) {
    const name = `${row.itemId}/${row.holder}`
    let parts = (pools.get(name) ?? []).map((part) => ({ ...part }))
    if (row.rule === 'average' && parts.length > 1) parts = [{ q: sum(parts, 'q'), v: sum(parts, 'v') }]
    const merge = (): void => {
      if (row.rule === 'average' && parts.length > 1) parts = [{ q: sum(parts, 'q'), v: sum(parts, 'v') }]
    }
    const takeFirst = (qty: bigint): bigint => {
      let value = 0n
      while (qty > 0n) {
        const first = parts[0]!
        if (first.q <= qty) {
          value += first.v
          qty -= first.q
          parts.shift()
        } else {
          const v = half(first.v * qty, first.q)
          value += v
          first.q -= qty
          first.v -= v
          qty = 0n
        }
      }
      return value
    }
    const scale = (delta: bigint): void => {
      if (delta === 0n || parts.length === 0) return
      const amount = delta < 0n ? -delta : delta
      const weigh = sum(parts, 'v') === 0n ? 'q' : 'v'
      byQuota(amount, parts.map((part) => part[weigh])).forEach((share, i) => (parts[i]!.v += delta < 0n ? -share : share))
    }
    const putAgain = (q: bigint, v: bigint): void => {
      parts.unshift({ q, v })
      merge()
    }
    const takeAgain = (q: bigint, v: bigint, end: 'first' | 'last'): bigint => {
      const whole = parts.map((part, i) => (part.q === q && part.v === v ? i : -1)).filter((i) => i >= 0)
      if (whole.length > 0) {
        parts.splice(end === 'first' ? whole[0]! : whole.at(-1)!, 1)
        return v
      }
      if (end === 'last') parts.reverse()
      let taken = takeFirst(q)
      if (end === 'last') parts.reverse()
      if (parts.length > 0) {
        const more = v - taken > sum(parts, 'v') ? sum(parts, 'v') : v - taken
        scale(-more)
        taken += more
      }
      return taken
    }
    /** Still out of a draw: all that was told of it and of what belongs to it. */
    const outOf = (id: string): Part => {
      const belongs = (one: EntryRow): boolean =>
        one.id === id || (one.ofEntryId === id && one.kind !== 'reversal') || (one.reversesId !== null && belongs(worth.get(one.reversesId)!.row))
      const family = [...worth.values()].filter((one) => belongs(one.row))
      return { q: -sum(family, 'q'), v: -sum(family, 'v') }
    }

    let q = BigInt(row.qty)
    let v = BigInt(row.value)
    const back = row.reversesId === null ? null : worth.get(row.reversesId)!
    if (row.kind === 'receipt' || (row.kind === 'transfer' && q > 0n)) {
      if (row.kind === 'transfer') v = -[...worth.values()].find((one) => one.row.moveId === row.moveId)!.v
      parts.push({ q, v })
      merge()
    } else if (row.kind === 'stocktake' && q > 0n) {
      if (parts.length > 0) v = half(sum(parts, 'v') * q, sum(parts, 'q'))
      parts.push({ q, v })
      merge()
    } else if (row.kind === 'return') {
      const out = outOf(row.ofEntryId!)
      v = half(out.v * q, out.q)
      putAgain(q, v)
    } else if (row.kind === 'price_correction') {
      if (row.ofEntryId === null) scale(v)
    } else if (back !== null) {
      if (back.row.kind === 'price_correction') {
        v = -back.v
        if (back.row.ofEntryId === null) scale(v)
      } else if (back.q > 0n) {
        q = -back.q
        v = -takeAgain(back.q, back.v, back.row.kind === 'return' ? 'first' : 'last')
      } else {
        const out = back.row.kind === 'draw' || back.row.kind === 'write_off' ? outOf(back.row.id) : { q: -back.q, v: -back.v }
        if (back.row.kind === 'transfer') out.v = -[...worth.values()].find((one) => one.row.moveId === row.moveId)!.v
        q = out.q
        v = out.v
        putAgain(q, v)
      }
    } else {
      v = -takeFirst(-q)
    }

    pools.set(name, parts)
    const lot = `${row.lotId}/${row.holder}`
    lots.set(lot, (lots.get(lot) ?? 0n) + q)
    if (row.buildId !== null) charges.set(row.buildId, (charges.get(row.buildId) ?? 0n) - v)
    worth.set(row.id, { row, q, v })
    told.push({ id: row.id, qty: Number(q), value: Number(v) })
  }
  return { told, lots, pools: new Map([...pools].map(([name, parts]) => [name, { q: sum(parts, 'q'), v: sum(parts, 'v') }])), charges }
}
