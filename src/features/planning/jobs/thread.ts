import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { Job, Solved, Solver } from './solve.ts'

/**
 * From source the thread needs the same loader as this process, and can't inherit it (Node 20 gives a thread no registered hooks);
 * a built service has plain JavaScript beside this file.
 * @param file without its ending, relative to this one
 */
function startWorker(file: string): Worker {
  if (!import.meta.url.endsWith('.ts')) return new Worker(new URL(`${file}.js`, import.meta.url))
  const loader = pathToFileURL(createRequire(import.meta.url).resolve('tsx/esm/api').replace(/\.cjs$/, '.mjs')).href
  const url = new URL(`${file}.ts`, import.meta.url).href
  const code = `import(${JSON.stringify(loader)}).then(({ register }) => { register(); return import(${JSON.stringify(url)}) })`
  return new Worker(code, { eval: true, execArgv: [] })
}

export type Thread<J, A> = { ask(job: J): Promise<A>; close(): Promise<void> }

/** A thread of its own, so that pages are answered meanwhile; it takes one job after another. It is started when first needed, and again if it dies. */
export function inThread<J, A>(file: string): Thread<J, A> {
  let worker: Worker | null = null
  let before: Promise<unknown> = Promise.resolve()

  const run = (job: J) =>
    new Promise<A>((resolve, reject) => {
      const thread = (worker ??= startWorker(file))
      // Waiting for an answer never keeps an ending service alive.
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
      const onMessage = (answer: A) => {
        done()
        resolve(answer)
      }
      const onError = (error: Error) => lost(error)
      const onExit = (code: number) => lost(new Error(`the planning thread ended (${code})`))
      thread.on('message', onMessage)
      thread.on('error', onError)
      thread.on('exit', onExit)
      thread.postMessage(job)
    })

  return {
    ask(job) {
      const answer = before.then(() => run(job))
      before = answer.catch(() => undefined)
      return answer
    },
    async close() {
      const last = worker
      worker = null
      await last?.terminate()
    },
  }
}

/** The planner's thread. */
export function solveInThread(): Solver {
  const thread = inThread<Job, Solved>('./worker')
  return { solve: (job) => thread.ask(job), close: () => thread.close() }
}
