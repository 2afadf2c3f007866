import { defineConfig } from 'vitest/config'

const root = new URL('..', import.meta.url).pathname
const isLong = process.env['GARBOARD_LONG'] === '1'
const suffix = isLong ? '.long.test' : '.test'
const of = (folder: string) => [`tests/${folder}/**/*${suffix}.ts`, `tests/${folder}/**/*${suffix}.tsx`]

const shared = {
  root,
  exclude: ['node_modules/**', ...(isLong ? [] : ['tests/**/*.long.test.ts'])],
  testTimeout: isLong ? 1_800_000 : 240_000,
  hookTimeout: 120_000,
  pool: 'forks' as const,
  // Files of a worker share its modules: loading the service anew for each took a third of the run. No test changes a module or the environment.
  isolate: false,
}

/** Starts the service itself, in copies of this checkout: slow, so only `npm run test:start` does it. */
const start = {
  extends: true as const,
  test: { ...shared, isolate: true, name: 'start', include: ['tests/start/**/*.test.ts'], globalSetup: ['tests/support/global-setup.ts'], testTimeout: 180_000, hookTimeout: 180_000 },
}

/** Two projects, so that the pure ones never wait for a database. */
export default defineConfig({
  root,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    maxWorkers: 2,
    projects: [
      { extends: true, test: { ...shared, name: 'core', include: [...of('core'), ...of('published'), ...of('bench')] } },
      {
        extends: true,
        test: {
          ...shared,
          name: 'service',
          include: [...of('features'), ...of('platform'), ...of('browser'), ...of('support')],
          globalSetup: ['tests/support/global-setup.ts'],
        },
      },
      ...(process.env['GARBOARD_START'] === '1' ? [start] : []),
    ],
  },
})
