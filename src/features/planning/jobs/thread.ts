import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { Solved, Solver } from './solve.ts'

/**
 * From source the thread needs the same loader as this process, and can't inherit it (Node 20 gives a thread no registered hooks);
 * a built service has plain JavaScript beside this file.
 */
function startWorker(): Worker {
  if (!import.meta.url.endsWith('.ts')) return new Worker(new URL('./worker.js', import.meta.url))
  const loader = pathToFileURL(createRequire(import.meta.url).resolve('tsx/esm/api').replace(/\.cjs$/, '.mjs')).href
  const file = new URL('./worker.ts', import.meta.url).href
  const code = `import(${JSON.stringify(loader)}).then(({ register }) => { register(); return import(${JSON.stringify(file)}) })`
  return new Worker(code, { eval: true, execArgv: [] })
}

/** A thread of its own for the search, so that pages are answered meanwhile. It is started when first needed, and again if it dies. */
export function solveInThread(): Solver {
  let worker: Worker | null = null

  return {
    solve: (job) =>
      new Promise<Solved>((resolve, reject) => {
        const thread = (worker ??= startWorker())
        // Waiting for a plan never keeps an ending service alive.
        thread.unref()
        const done = () => {
          thread.off('message', onMessage)
          thread.off('error', onError)
          thread.off('exit', onExit)
        }
        const lost = (error: Error) => {
          done()
          if (worker === thread) worker = null
          reject(error)
        }
        const onMessage = (solved: Solved) => {
          done()
          resolve(solved)
        }
        const onError = (error: Error) => lost(error)
        const onExit = (code: number) => lost(new Error(`the planning thread ended (${code})`))
        thread.on('message', onMessage)
        thread.on('error', onError)
        thread.on('exit', onExit)
        thread.postMessage(job)
      }),
    async close() {
      const last = worker
      worker = null
      await last?.terminate()
    },
  }
}
