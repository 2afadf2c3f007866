import type { Db, Reader } from '../../../../platform/database.ts'

type Ask = () => Promise<unknown>

/** Asks all at once; in a transaction one after another, for its one connection takes one statement at a time. */
export async function together<const A extends readonly Ask[]>(db: Reader, asks: A): Promise<{ -readonly [K in keyof A]: Awaited<ReturnType<A[K]>> }> {
  const answers: unknown[] = []
  if (isPool(db)) answers.push(...(await Promise.all(asks.map((ask) => ask()))))
  else for (const ask of asks) answers.push(await ask())
  return answers as { -readonly [K in keyof A]: Awaited<ReturnType<A[K]>> }
}

const isPool = (db: Reader): db is Db => '$connect' in db
