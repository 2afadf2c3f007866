import type { Reader } from '../../../../platform/database.ts'
import { toInstant } from '../../../../platform/times.ts'
import { visibleTo } from '../../queries/visible.ts'
import type { SearchInput } from '../schemas.ts'
import { asQuery, wordsOf } from '../words.ts'

export const HITS = 40

export type Hit = { kind: 'note' | 'lesson' | 'decision' | 'snag' | 'photo'; id: string; buildId: string; build: string; text: string; at: number; by: string; no: number | null; photoId: string | null }

type Row = Omit<Hit, 'at'> & { at: Date; total: bigint }

/**
 * Entries, snags and captions of the builds that a person may see, with all the words typed, each as the beginning of a word; without words, all.
 * Newest first.
 */
export async function searchLog(db: Reader, member: { id: string; roles: readonly string[] }, asked: SearchInput): Promise<FoundHits> {
  const { q, build } = asked
  const builds = await db.build.findMany({ where: visibleTo(member), select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const words = wordsOf(q)
  const ids = builds.filter((b) => build === undefined || b.id === build).map((b) => b.id)
  // Signs alone find nothing, rather than everything.
  if (ids.length === 0 || (q.trim() !== '' && words.length === 0)) return { builds, words, hits: [], total: 0, pages: 1, page: 1 }
  return searchFrom(db, builds, words, ids, asked)
}

type BuildName = { id: string; name: string }
export type FoundHits = { builds: BuildName[]; words: string[]; hits: Hit[]; total: number; pages: number; page: number }

async function searchFrom(db: Reader, builds: BuildName[], words: string[], ids: string[], asked: SearchInput): Promise<FoundHits> {
  const { kind, page } = asked
  const all = words.length === 0
  const query = asQuery(words)
  const rows = await db.$queryRaw<Row[]>`
    with wanted as (select to_tsquery('simple', ${query}) as q), found as (
      select e.kind::text as kind, e.id, e.build_id, e.text, e.at, e.by_id, null::int as no,
             (select p.id from photo p where p.log_entry_id = e.id order by p.taken_on, p.logged_at, p.id limit 1) as photo_id
      from log_entry e, wanted
      where e.build_id = any(${ids}::uuid[]) and e.withdrawn_at is null and (${all} or log_words(e.text) @@ wanted.q)
      union all
      select 'snag', s.id, s.build_id, s.what || case when s.where_at = '' then '' else ', ' || s.where_at end, s.created_at, s.found_by, s.no,
             (select p.id from photo p where p.snag_id = s.id order by p.taken_on, p.logged_at, p.id limit 1)
      from snag s, wanted
      where s.build_id = any(${ids}::uuid[]) and s.withdrawn_at is null and (${all} or log_words(s.what || ' ' || s.where_at) @@ wanted.q)
      union all
      select 'photo', p.id, p.build_id, p.caption, p.logged_at, p.by_id, null, p.id
      from photo p, wanted
      where p.build_id = any(${ids}::uuid[]) and p.caption <> '' and (${all} or log_words(p.caption) @@ wanted.q)
    )
    select f.kind, f.id, f.build_id as "buildId", b.name as build, f.text, f.at, m.name as "by", f.no, f.photo_id as "photoId", count(*) over () as total
    from found f join build b on b.id = f.build_id join member m on m.id = f.by_id
    where ${kind ?? null}::text is null or f.kind = ${kind ?? null}
    order by f.at desc, f.id
    limit ${HITS} offset ${(page - 1) * HITS}`
  // A page beyond the last.
  if (rows.length === 0 && page > 1) return searchFrom(db, builds, words, ids, { ...asked, page: 1 })
  const total = Number(rows[0]?.total ?? 0)
  return { builds, words, hits: rows.map(({ total: _total, at, ...hit }): Hit => ({ ...hit, at: toInstant(at) })), total, pages: Math.max(1, Math.ceil(total / HITS)), page }
}
