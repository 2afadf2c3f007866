import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'

/**
 * A thread that runs the module beside `from` (an import.meta.url) called `name`, without ending. From source it needs the
 * loader first: on Node 20 `--import tsx` does not reach the thread's own file. A built service has plain JavaScript there.
 */
export function startThread(name: string, from: string): Worker {
  if (!from.endsWith('.ts')) return new Worker(new URL(`${name}.js`, from))
  const tsx = dirname(createRequire(import.meta.url).resolve('tsx/package.json'))
  const loader = pathToFileURL(join(tsx, 'dist/esm/api/index.mjs')).href
  const module = new URL(`${name}.ts`, from).href
  const boot = `import { register } from ${JSON.stringify(loader)}; register(); await import(${JSON.stringify(module)})`
  return new Worker(new URL(`data:text/javascript,${encodeURIComponent(boot)}`))
}
