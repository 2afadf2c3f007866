import type { FastifyInstance, FastifyReply } from 'fastify'
import { LIVE_CHANNEL, type Heard } from './events.ts'

/** How often a line goes out so that proxies keep the stream open. */
const BEAT_MS = 25_000

/** GET /events: topics of what changed, as server-sent events (WHATWG HTML, section 9.2); a page then asks for itself anew. */
export function registerLive(app: FastifyInstance): void {
  const open = new Set<FastifyReply>()
  let listening: Promise<() => void> | null = null

  const tell = ({ payload, missed }: Heard) => {
    // After a gap nobody knows what was said: everything may have changed.
    const text = `event: changed\ndata: ${missed ? '*' : payload.replace(/[\r\n]/g, ' ')}\n\n`
    for (const reply of open) reply.raw.write(text)
  }
  const beat = setInterval(() => open.forEach((reply) => reply.raw.write(': still here\n\n')), BEAT_MS)
  beat.unref()

  app.get('/events', { config: { may: 'events' } }, async (req, reply) => {
    listening ??= app.deps.events.on(LIVE_CHANNEL, tell)
    await listening.catch((error: Error) => {
      listening = null
      throw error
    })
    reply.hijack()
    reply.raw.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store', 'x-accel-buffering': 'no', 'x-content-type-options': 'nosniff' })
    reply.raw.write('retry: 5000\n\n')
    open.add(reply)
    req.raw.on('close', () => open.delete(reply))
  })

  app.addHook('preClose', async () => {
    clearInterval(beat)
    for (const reply of open) reply.raw.end()
    open.clear()
    if (listening) (await listening.catch(() => null))?.()
  })
}
