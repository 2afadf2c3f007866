import pg from 'pg'
import type { Tx } from './database.ts'

/** Heard by every instance. `missed` comes after a broken connection: something may have been said meanwhile, so look again. */
export type Heard = { channel: string; payload: string; missed: boolean }
export type Listener = (heard: Heard) => void

export type Events = {
  /** Starts listening; the answer stops it. */
  on(channel: string, listener: Listener): Promise<() => void>
  close(): Promise<void>
}

/** Channel of live pages; the payload is a topic such as "plan" or "session:<id>". */
export const LIVE_CHANNEL = 'garboard_live'

/** Tells all instances, once (and only if) the transaction commits. */
export async function notify(tx: Tx, channel: string, payload = ''): Promise<void> {
  await tx.$executeRaw`select pg_notify(${channel}, ${payload})`
}

/** One connection of its own, opened at the first listener and opened again whenever it breaks. */
export function openEvents(url: string, onTrouble: (error: Error) => void = () => undefined): Events {
  const listeners = new Map<string, Set<Listener>>()
  let client: pg.Client | null = null
  let connecting: Promise<void> | null = null
  let timer: NodeJS.Timeout | null = null
  let tries = 0
  let closed = false

  const tell = (heard: Heard) => {
    for (const listener of listeners.get(heard.channel) ?? []) {
      try {
        listener(heard)
      } catch (error) {
        onTrouble(error as Error)
      }
    }
  }

  const lost = (from: pg.Client, error: Error) => {
    if (client !== from || closed) return
    client = null
    onTrouble(error)
    from.end().catch(() => undefined)
    later()
  }

  const later = () => {
    if (closed || timer) return
    // 0.1 s at first, doubled up to 10 s.
    timer = setTimeout(() => {
      timer = null
      connect(true).catch((error: Error) => {
        onTrouble(error)
        later()
      })
    }, Math.min(10_000, 100 * 2 ** tries++))
    timer.unref()
  }

  const connect = (again: boolean) => {
    connecting ??= open(again).finally(() => {
      connecting = null
    })
    return connecting
  }

  const open = async (again: boolean) => {
    const next = new pg.Client({ connectionString: url, application_name: 'garboard events', keepAlive: true, connectionTimeoutMillis: 10_000 })
    next.on('error', (error) => lost(next, error))
    next.on('end', () => lost(next, new Error('the connection for events ended')))
    next.on('notification', ({ channel, payload }) => tell({ channel, payload: payload ?? '', missed: false }))
    try {
      await next.connect()
      for (const channel of listeners.keys()) await next.query(`listen ${pg.escapeIdentifier(channel)}`)
    } catch (error) {
      await next.end().catch(() => undefined)
      throw error
    }
    if (closed) return void (await next.end().catch(() => undefined))
    client = next
    tries = 0
    if (again) for (const channel of listeners.keys()) tell({ channel, payload: '', missed: true })
  }

  return {
    async on(channel, listener) {
      const known = listeners.get(channel) ?? new Set()
      const isNew = known.size === 0
      known.add(listener)
      listeners.set(channel, known)
      if (!client) await connect(false)
      // While an earlier connect was under way it may have missed this channel; LISTEN twice is harmless.
      if (isNew) await client?.query(`listen ${pg.escapeIdentifier(channel)}`)
      return () => {
        known.delete(listener)
      }
    },
    async close() {
      closed = true
      if (timer) clearTimeout(timer)
      await connecting?.catch(() => undefined)
      const last = client
      client = null
      await last?.end().catch(() => undefined)
    },
  }
}
