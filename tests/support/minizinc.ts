/**
 * The WASM build of MiniZinc in a worker thread. The package's own entry for Node starts a native program, so the worker script that it
 * has for browsers is loaded here with what a browser's worker would give it.
 */
import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'
import { Worker } from 'node:worker_threads'

const SHIM = `
const { parentPort, workerData } = require('node:worker_threads')
const { readFileSync } = require('node:fs')
const { dirname } = require('node:path')
globalThis.postMessage = (m) => parentPort.postMessage(m)
globalThis.addEventListener = (_, listen) => parentPort.on('message', (data) => listen({ data }))
const { script, wasm } = workerData
const { instantiate } = WebAssembly
WebAssembly.instantiate = async (_, imports) => ({ module: wasm, instance: await instantiate(wasm, imports) })
new Function('require', '__filename', '__dirname', readFileSync(script, 'utf8'))(require, script, dirname(script))
`

export type Solved = { readonly status: 'optimal'; readonly value: number } | { readonly status: 'unsatisfiable' } | { readonly status: 'unknown' }

export class MiniZinc {
  private next: Promise<Worker> | null = null
  private wasm: Promise<WebAssembly.Module> | null = null

  /**
   * Minimises a model that outputs its objective as `_objective`.
   * @param model MiniZinc text @param seconds limit of the solver; a run that meets it is 'unknown'
   */
  async minimise(model: string, seconds: number): Promise<Solved> {
    // The solver can't run twice in one memory: each run has a worker of its own, and the next one loads meanwhile.
    const worker = await (this.next ?? this.start())
    this.next = this.start()
    try {
      return await run(worker, model, seconds)
    } finally {
      await worker.terminate()
    }
  }

  async stop(): Promise<void> {
    await (await this.next)?.terminate()
    this.next = null
  }

  private async start(): Promise<Worker> {
    const find = createRequire(import.meta.url).resolve
    this.wasm ??= WebAssembly.compile(readFileSync(find('minizinc/minizinc.wasm')))
    const worker = new Worker(SHIM, { eval: true, workerData: { script: find('minizinc/minizinc-worker.js'), wasm: await this.wasm } })
    await new Promise<void>((resolve, reject) => {
      worker.once('error', reject)
      worker.once('message', () => resolve())
      worker.postMessage({ wasmURL: find('minizinc/minizinc.wasm'), dataURL: find('minizinc/minizinc.data') })
    })
    return worker
  }
}

async function run(worker: Worker, model: string, seconds: number): Promise<Solved> {
  let value: number | null = null
  let status = 'UNKNOWN'
  const errors: string[] = []
  await new Promise<void>((resolve, reject) => {
    const listen = (m: Message): void => {
      if (m.type === 'solution') value = m.output?.json?.['_objective'] ?? value
      if (m.type === 'status') status = m.status ?? status
      if (m.type === 'error') errors.push(m.message ?? 'error')
      if (m.type !== 'exit') return
      if (m.code === 0 && errors.length === 0) resolve()
      else reject(new Error(`MiniZinc: ${errors.join('; ') || m.message || `exit ${m.code}`}`))
    }
    worker.on('message', listen)
    worker.once('error', reject)
    worker.postMessage({
      jsonStream: true, files: { 'model.mzn': model }, outputFiles: null,
      args: ['-i', '--output-mode', 'json', '--output-objective', '--solver', 'chuffed', '-f', '--time-limit', String(seconds * 1000), 'model.mzn'],
    })
  })
  if (status === 'OPTIMAL_SOLUTION' && value !== null) return { status: 'optimal', value }
  return { status: status === 'UNSATISFIABLE' ? 'unsatisfiable' : 'unknown' }
}

interface Message {
  readonly type: string
  readonly status?: string
  readonly code?: number
  readonly message?: string
  readonly output?: { readonly json?: { readonly _objective?: number } }
}
