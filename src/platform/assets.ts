import { createHash } from 'node:crypto'
import { readFileSync, statSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyInstance } from 'fastify'
import { failure } from './errors.ts'
import { ROOT } from './paths.ts'

export type Assets = { address(path: string): string }

/** Files that come from a package, under the name they have in static/. */
const FROM_PACKAGES: Record<string, string> = {
  'htmx.min.js': createRequire(import.meta.url).resolve('htmx.org/dist/htmx.min.js'),
}

/** GET /static/*: kept for a year when asked for by the hash of its content (`address`), else asked about each time. */
export async function registerAssets(app: FastifyInstance): Promise<Assets> {
  const folder = join(ROOT, 'static')
  const hashes = new Map<string, { changed: number; hash: string }>()
  const fileOf = (path: string) => FROM_PACKAGES[path] ?? join(folder, path)

  const hashOf = (path: string): string | null => {
    const file = statSync(fileOf(path), { throwIfNoEntry: false })
    if (!file?.isFile()) return null
    const changed = file.mtimeMs
    const known = hashes.get(path)
    if (known?.changed === changed) return known.hash
    const hash = createHash('sha256').update(readFileSync(fileOf(path))).digest('hex').slice(0, 12)
    hashes.set(path, { changed, hash })
    return hash
  }

  await app.register(fastifyStatic, { root: folder, serve: false, cacheControl: false, dotfiles: 'deny' })
  app.get<{ Params: { '*': string }; Querystring: { v?: string } }>('/static/*', { config: { may: 'static' } }, (req, reply) => {
    const path = req.params['*']
    const isNamed = req.query.v !== undefined && req.query.v === hashOf(path)
    reply.header('cache-control', isNamed ? 'public, max-age=31536000, immutable' : 'no-cache')
    const fromPackage = FROM_PACKAGES[path]
    return fromPackage ? reply.sendFile(path.split('/').at(-1) ?? '', dirname(fromPackage)) : reply.sendFile(path)
  })

  return {
    address(path) {
      const hash = hashOf(path)
      if (hash === null) throw failure('bug', new Error(`static/${path} does not exist`))
      return `/static/${path}?v=${hash}`
    },
  }
}
