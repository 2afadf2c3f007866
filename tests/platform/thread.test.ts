import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, expect, test } from 'vitest'
import { startThread } from '../../src/platform/thread.ts'

const folder = mkdtempSync(join(tmpdir(), 'garboard-thread-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const code = `import { parentPort } from 'node:worker_threads'\nimport { twice } from './twice.EXT'\nparentPort.on('message', (n) => parentPort.postMessage(twice(n)))\n`

test.each(['ts', 'js'])('a thread runs its module from .%s, with what that imports, and gets what was sent before it was up', async (ext) => {
  writeFileSync(join(folder, 'package.json'), '{ "type": "module" }')
  writeFileSync(join(folder, `adder.${ext}`), code.replace('EXT', ext))
  writeFileSync(join(folder, `twice.${ext}`), ext === 'ts' ? 'export const twice = (n: number): number => 2 * n\n' : 'export const twice = (n) => 2 * n\n')
  const thread = startThread('./adder', pathToFileURL(join(folder, `starter.${ext}`)).href)
  const answer = new Promise((done, failed) => thread.once('message', done).once('error', failed))
  thread.postMessage(21)
  expect(await answer).toBe(42)
  await thread.terminate()
})
