import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import type { Worker } from 'node:worker_threads'
import { startThread } from '../../../platform/thread.ts'
import type { Solved, Solver } from './solve.ts'

const loader = (): string => pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href

/** A thread of its own for the search, so that pages are answered meanwhile. It is started when first needed, and again if it dies. */
export function solveInThread(): Solver {
  let worker: Worker | null = null

  const start = (): Worker => {
    const made = startThread('./worker', import.meta.url)
    made.unref()
    return made
  }

  return {
    solve: (job) =>
      new Promise<Solved>((resolve, reject) => {
        const thread = (worker ??= start())
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
