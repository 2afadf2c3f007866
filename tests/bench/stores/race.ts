/** Sixty-four people draw 100 g at the same moment from a lot of 4 kg: forty get it. */
import type { BenchClub } from '../club.ts'
import { ledgerItem } from './item.ts'

export async function race(club: BenchClub): Promise<{ ok: boolean; line: string }> {
  const keeper = await club.signedIn(['storekeeper', 'officer'])
  const build = await club.make.build({}, [keeper.memberId])
  const itemId = await ledgerItem(club, keeper.memberId, 4_000_000)
  const answers = await Promise.all(Array.from({ length: 64 }, () => keeper.post(`/stores/items/${itemId}/draw`, { amount: '100', use: `build:${build.id}`, why: 'race' })))
  const drawn = answers.filter((a) => a.statusCode === 303).length
  const told = answers.filter((a) => a.statusCode === 422 && /(No|Only 0 g of) [^.]*left/.test(a.body)).length
  const [row] = await club.db.$queryRaw<{ draws: bigint; left: bigint; below: bigint }[]>`
    select count(*) filter (where kind = 'draw') as draws, sum(qty_milli)::bigint as "left",
      (select count(*) from (select sum(qty_milli) over (order by seq) as running from stock_entry where item_id = ${itemId}::uuid) x where running < 0) as below
    from stock_entry where item_id = ${itemId}::uuid`
  const ok = drawn === 40 && told === 24 && Number(row?.draws) === 40 && Number(row?.left) === 0 && Number(row?.below) === 0
  return { ok, line: `64 clients, 40 covered: ${drawn} succeeded, ${told} refused saying what is left, ${Number(row?.left)} left, ${Number(row?.below)} times below nothing` }
}
