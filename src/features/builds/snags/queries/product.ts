import type { Reader } from '../../../../platform/database.ts'

/** Resin that rework goes on with: the product of the task it was found at if that is resin, else the resin that most of her tasks take. */
export async function resinOf(db: Reader, buildId: string, taskId: string | null): Promise<string | null> {
  const rows = await db.task.findMany({
    where: { buildId, product: { kind: { in: ['epoxy', 'glue'] } } },
    select: { id: true, productId: true, product: { select: { kind: true } } },
    orderBy: [{ position: 'asc' }, { id: 'asc' }],
  })
  const own = rows.find((t) => t.id === taskId)
  if (own) return own.productId
  const count = new Map<string, number>()
  for (const { productId, product } of rows) if (productId && product?.kind === 'epoxy') count.set(productId, (count.get(productId) ?? 0) + 1)
  return [...count].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? rows[0]?.productId ?? null
}
