/**
 * Entries a second that the service books, each in a transaction of its own under a once-only key, against the very statements it sends,
 * from bare clients on the same PostgreSQL. Both take turns of the same length: the median of five after one for warmth. What a form
 * posted to the service costs on top (sign-in, policy, parsing, its page's own questions) is printed beside it.
 */
import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { drawStock } from '../../../src/features/stores/public.ts'
import { onceIn } from '../../../src/platform/write.ts'
import { median, type BenchClub } from '../club.ts'
import { benchCtx, ledgerItem } from './item.ts'
import { statementsOf, type Statement } from './record.ts'

const CLIENTS = 32
const TURN_MS = 4000
const GOAL = 0.6

export async function speed(club: BenchClub): Promise<{ ok: boolean; line: string }[]> {
  const keeper = await club.signedIn(['storekeeper', 'officer'])
  const build = await club.make.build({}, [keeper.memberId])
  const items: string[] = []
  for (let i = 0; i < CLIENTS; i++) items.push(await ledgerItem(club, keeper.memberId, 900_000_000_000))
  const ctx = benchCtx(club, keeper.memberId)
  const booked = (itemId: string) => onceIn(club.db, randomUUID(), ctx, 'bench', async (tx) => {
    const done = await drawStock(tx, ctx, { itemId, qtyMilli: 1000, structural: true, buildId: build.id, why: 'speed' })
    if (!done.ok) throw new Error(done.refusal.message)
    return { location: '/' }
  })
  const posted = async (itemId: string) => {
    const { statusCode, body } = await keeper.post(`/stores/items/${itemId}/draw`, { amount: '1', use: `build:${build.id}`, why: 'speed' })
    if (statusCode !== 303) throw new Error(`a draw was refused: ${statusCode} ${body.slice(0, 300)}`)
  }
  for (const id of items) await posted(id)

  const lines: { ok: boolean; line: string }[] = []
  for (const [name, draw, hasGoal] of [['ledger, each entry under its once-only key', booked, true], ['whole form posted', posted, false]] as const) {
    const recorded = await statementsOf(() => draw(items[0]!))
    const clients = await Promise.all(items.map(async (itemId) => {
      const client = new pg.Client({ connectionString: club.url })
      await client.connect()
      return { client, send: replaying(client, recorded, items[0]!, itemId) }
    }))
    const ours: number[] = []
    const bare: number[] = []
    for (let turn = 0; turn < 6; turn++) {
      const a = await perSecond(CLIENTS, (i) => draw(items[i]!))
      const b = await perSecond(CLIENTS, (i) => clients[i]!.send())
      if (turn > 0) { ours.push(a); bare.push(b) }
    }
    for (const { client } of clients) await client.end()
    const [a, b] = [median(ours), median(bare)]
    lines.push({
      ok: !hasGoal || a / b >= GOAL,
      line: `entries/s, ${CLIENTS} clients, ${name}: ${a.toFixed(0)}; bare client with the same ${recorded.length} statements ${b.toFixed(0)}: ratio ${(a / b).toFixed(2)}${hasGoal ? ` (goal ${GOAL})` : ''}`,
    })
  }
  return lines
}

async function perSecond(clients: number, one: (client: number) => Promise<unknown>): Promise<number> {
  const from = performance.now()
  const until = from + TURN_MS
  let done = 0
  await Promise.all(Array.from({ length: clients }, async (_, i) => {
    while (performance.now() < until) {
      await one(i)
      done++
    }
  }))
  return (done * 1000) / (performance.now() - from)
}

type Layer = { q: number; v: number }
type Entry = { id: string; qty_milli: number; value_cents: number }

/** The recorded statements again, on another item: new ids, and the layers that the last read gave. */
function replaying(client: pg.Client, recorded: readonly Statement[], from: string, to: string): () => Promise<void> {
  const onceKey = String(recorded.find((s) => /insert into once_key/.test(s.text))?.values[0] ?? '')
  return async () => {
    const once = randomUUID()
    let layer: Layer = { q: 0, v: 0 }
    let lotId = ''
    for (const { text, values } of recorded) {
      const now = values.map((value) => {
        if (value === from) return to
        if (value === onceKey) return once
        if (typeof value !== 'string' || !value.startsWith('[{')) return value
        const rows = JSON.parse(value) as (Layer | Entry)[]
        const cents = Math.round((layer.v * 1000) / layer.q)
        return JSON.stringify(rows.map((row) => ('q' in row ? { q: layer.q - 1000, v: layer.v - cents } : { ...row, id: randomUUID(), lot_id: lotId, value_cents: -cents })))
      })
      const { rows } = await client.query<{ layers?: Layer[]; lot_id?: string }>(text, now)
      const [first] = rows ?? []
      if (first?.layers?.[0]) layer = first.layers[0]
      if (first?.lot_id) lotId = first.lot_id
    }
  }
}
