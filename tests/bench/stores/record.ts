/** Statements that the service sends, as its driver gets them: to be sent again by a bare client. */
import pg from 'pg'

export type Statement = { text: string; values: unknown[] }

/** Runs it and lists what went to PostgreSQL meanwhile, over any connection of this process. */
export async function statementsOf(run: () => Promise<unknown>): Promise<Statement[]> {
  const seen: Statement[] = []
  const { query } = pg.Client.prototype
  pg.Client.prototype.query = function (this: pg.Client, ...args: unknown[]) {
    const [first, second] = args
    if (typeof first === 'string') seen.push({ text: first, values: Array.isArray(second) ? second : [] })
    else if (typeof first === 'object' && first !== null && 'text' in first) {
      const { text, values } = first as { text: string; values?: unknown[] }
      seen.push({ text, values: values ?? (Array.isArray(second) ? second : []) })
    }
    return Reflect.apply(query, this, args)
  } as typeof query
  try {
    await run()
  } finally {
    pg.Client.prototype.query = query
  }
  return seen
}
