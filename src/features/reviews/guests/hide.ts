/** What a link doesn't show is taken out of own words too: names, money, what snags are called. */
import type { Reader } from '../../../platform/database.ts'
import type { OpenLink } from './model.ts'
import { hideMoney } from './hide-money.ts'
import { nameHider } from './hide-names.ts'
import { phraseHider, type Hide } from './hide-phrases.ts'

/** The hider for one link: who is hidden, and what her snags are called now. Names of minors are never shown. */
export async function hiderFor(db: Reader, { buildId, shows }: OpenLink): Promise<Hide> {
  const build = await db.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true } })
  const people = await db.member.findMany({ where: shows.names ? { isMinor: true } : {}, select: { name: true } })
  const snags = shows.snags ? [] : await db.snag.findMany({ where: { buildId }, select: { what: true, reworkTask: { select: { name: true } } } })
  const hides: Hide[] = [
    phraseHider(snags.flatMap((s) => (s.reworkTask ? [s.reworkTask.name] : [])), 'some mending'),
    phraseHider(snags.map((s) => s.what), 'a snag'),
    nameHider(people.map((p) => p.name), [build.name]),
    ...(shows.money ? [] : [hideMoney]),
  ]
  return (text) => hides.reduce((t, hide) => hide(t), text)
}
