/**
 * Entries a second through the service (a form posted to it, parsed, judged, booked, answered) against the very statements it sends,
 * from bare clients on the same PostgreSQL. Both take turns of the same length, the median of five after one for warmth.
 */
import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { median, type BenchClub } from '../club.ts'
import { ledgerItem } from './item.ts'
import { statementsOf, type Statement } from './record.ts'

const CLIENTS = 32
const TURN_MS = 3000
const GOAL = 0.6

export async function speed(club: BenchClub): Promise<{ ok: boolean; line: string }> {
  const keeper = await club.signedIn(['storekeeper', 'officer'])
  const build = await club.make.build({}, [keeper.memberId])
  const items: string[] = []
  for (let i = 0; i < CLIENTS; i++) items.push(await ledgerItem(club, keeper.memberId, 2_000_000_000_000))
  const draw = (itemId: string) => keeper.post(`/stores/items/${itemId}/draw`, { amount: '1', use: `build:${build.id}`, why: 'speed' })
  for (const id of items) if ((await draw(id)).statusCode !== 303) throw new Error('a draw was refused')
  const recorded = await statementsOf(() => draw(items[0]!))

  const service = async () => perSecond(CLIENTS, async (i) => { if ((await draw(items[i]!)).statusCode !== 303) throw new Error('a draw was refused') })
  const clients = await Promise.all(items.map(async (itemId) => {
    const client = new pg.Client({ connectionString: club.url })
    await client.connect()
    return { client, send: replaying(client, recorded, items[0]!, itemId) }
  }))
  const bare = async () => perSecond(CLIENTS, (i) => clients[i]!.send())
  const ours: number[] = []
  const theirs: number[] = []
  for (let turn = 0; turn < 6; turn++) {
    const [a, b] = [await service(), await bare()]
    if (turn > 0) { ours.push(a); theirs.push(b) }
  }
  for (const { client } of clients) await client.end()
  const [a, b] = [median(ours), median(theirs)]
  const kinds = recorded.filter((s) => !/^(begin|commit)/i.test(s.text.trim())).length
  return { ok: a / b >= GOAL, line: `entries/s, ${CLIENTS} clients: service ${a.toFixed(0)}, bare client with the same ${kinds} statements ${b.toFixed(0)}, ratio ${(a / b).toFixed(2)} (goal ${GOAL})` }
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
  const lotOf = new Map<string, string>()
  return async () => {
    const once = randomUUID()
    const onceKey = String(recorded.find((s) => /insert into once_key/.test(s.text))?.values[0] ?? '')
    let layer: Layer = { q: 0, v: 0 }
    for (const { text, values } of recorded) {
      const now = values.map((value) => {
        if (value === from) return to
        if (value === onceKey) return once
        if (typeof value !== 'string' || !/^\s*[[{]/.test(value)) return value
        const rows = JSON.parse(value) as (Layer | Entry)[]
        if (!Array.isArray(rows)) return value
        return JSON.stringify(rows.map((row) => ('q' in row
          ? { q: layer.q - 1000, v: layer.v - Math.round((layer.v * 1000) / layer.q) }
          : { ...row, id: randomUUID(), lot_id: lotOf.get(to), value_cents: -Math.round((layer.v * 1000) / layer.q) })))
      })
      const { rows } = await client.query<{ layers?: Layer[]; lot_id?: string }>(text, now)
      const [first] = rows ?? []
      if (first?.layers?.[0]) layer = first.layers[0]
      if (first?.lot_id) lotOf.set(to, first.lot_id)
    }
  }
}
