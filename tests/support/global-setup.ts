import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'
import { startEmbedded } from '../../src/platform/embedded-database.ts'
import { makeTemplate } from './template.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** A server on which test files make databases of their own, and the migrated database they copy. */
    server: { url: string; template: string }
  }
}

type Server = { url: string; stop(): Promise<void> }

/** One PostgreSQL for the whole run: TEST_DATABASE_URL; else in a container, where an engine answers; else our own. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = (await given()) ?? (await container()) ?? (await embedded())
  const template = await makeTemplate(server.url)
  project.provide('server', { url: server.url, template })
  return () => server.stop()
}

async function given(): Promise<Server | null> {
  const url = process.env['TEST_DATABASE_URL']
  return url ? { url, stop: async () => undefined } : null
}

async function container(): Promise<Server | null> {
  // The package's crash at import, or an engine that does not answer, both mean the same: go on without.
  try {
    const { PostgreSqlContainer } = await import('@testcontainers/postgresql')
    const started = await new PostgreSqlContainer('postgres:18-alpine')
      .withEnvironment({ POSTGRES_INITDB_ARGS: '--locale-provider=icu --icu-locale=und --encoding=UTF8' })
      .withCommand(['postgres', '-c', 'fsync=off', '-c', 'max_connections=300'])
      .start()
    return { url: started.getConnectionUri(), stop: async () => void (await started.stop()) }
  } catch {
    return null
  }
}

async function embedded(): Promise<Server> {
  const folder = mkdtempSync(join(tmpdir(), 'garboard-test-'))
  // As root its PostgreSQL runs under another account, which must get in.
  chmodSync(folder, 0o755)
  const database = await startEmbedded(folder, { settings: ['fsync=off', 'full_page_writes=off', 'max_connections=300', 'shared_buffers=64MB'] })
  const cutShort = () => {
    try {
      process.kill(database.pid(), 'SIGQUIT')
    } catch {
      // Gone already.
    }
  }
  process.once('exit', cutShort)
  for (const signal of ['SIGTERM', 'SIGHUP'] as const) process.once(signal, () => process.exit(1))
  return {
    url: database.url,
    async stop() {
      process.off('exit', cutShort)
      await database.stop()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
