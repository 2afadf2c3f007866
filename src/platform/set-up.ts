import { randomInt, timingSafeEqual } from 'node:crypto'
import type { Db, Tx } from './database.ts'
import { digest } from './sign-in.ts'

const NAME = 'set-up code'
// Without the letters and figures that are mistaken for each other.
const LETTERS = 'ABCDEFGHJKLMNPQRSTUVWXYZ23456789'

/** The code that the start prints and the set-up page asks for: whoever can read the start's output is the one to set up the club. */
export async function setUpCode(db: Db): Promise<string> {
  const pick = () => Array.from({ length: 5 }, () => LETTERS[randomInt(LETTERS.length)]).join('')
  await db.secret.createMany({ data: { name: NAME, value: `${pick()}-${pick()}` }, skipDuplicates: true })
  return (await db.secret.findUniqueOrThrow({ where: { name: NAME } })).value
}

/** Takes the code in the transaction that makes the club, so that of two set-ups at once one is refused. */
export async function takeSetUpCode(tx: Tx, typed: string): Promise<boolean> {
  const [row] = await tx.$queryRaw<{ value: string }[]>`select value from secret where name = ${NAME} for update`
  const tidy = (text: string) => Buffer.from(digest(text.toUpperCase().replace(/[^A-Z0-9]/g, '')))
  if (!row || !timingSafeEqual(tidy(row.value), tidy(typed))) return false
  await tx.secret.delete({ where: { name: NAME } })
  return true
}
