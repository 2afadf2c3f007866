import type { Reader } from '../../../platform/database.ts'
import type { NameBook } from '../model.ts'

const byId = <R extends { id: string; name: string }>(rows: readonly R[]) => new Map(rows.map((r) => [r.id, r.name]))

/** Names for the sentences of pages; tasks and links of these builds only. */
export async function nameBook(db: Reader, buildIds: readonly string[]): Promise<NameBook> {
  const name = { select: { id: true, name: true } } as const
  const [builds, people, places, tools, competences, items] = await Promise.all([
    db.build.findMany({ ...name, where: { id: { in: [...buildIds] } } }),
    db.member.findMany(name),
    db.place.findMany(name),
    db.tool.findMany(name),
    db.competence.findMany(name),
    db.item.findMany({ select: { id: true, name: true, unit: true } }),
  ])
  const ids = builds.map((b) => b.id)
  const [tasks, links] = await Promise.all([
    db.task.findMany({ where: { buildId: { in: ids } }, select: { id: true, name: true, buildId: true } }),
    db.link.findMany({ where: { buildId: { in: ids } }, select: { id: true, fromId: true, toId: true, kind: true, stage: true } }),
  ])
  return {
    builds: byId(builds),
    tasks: new Map(tasks.map((t) => [t.id, { name: t.name, buildId: t.buildId }])),
    links: new Map(links.map((l) => [l.id, { from: l.fromId, to: l.toId, kind: l.kind, stage: l.stage }])),
    people: byId(people),
    places: byId(places),
    tools: byId(tools),
    competences: byId(competences),
    items: new Map(items.map((i) => [i.id, { name: i.name, unit: i.unit }])),
  }
}
