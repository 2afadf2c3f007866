import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { ROOT } from '../../src/platform/paths.ts'

const read = (file: string) => readFileSync(join(ROOT, file), 'utf8')
const documents = ['README.md', 'DEVELOPERS.md', 'docker-compose.yml', '.ci/run'].filter((file) => existsSync(join(ROOT, file)))
const scripts = (JSON.parse(read('package.json')) as { scripts: Record<string, string> }).scripts

test.each(documents)('every script that %s names exists', (file) => {
  const named = [...read(file).matchAll(/npm (?:run (?:-s )?([\w:.]+)|(test|start)\b)/g)].map((match) => match[1] ?? match[2] ?? '')
  expect(named.filter((name) => !(name in scripts))).toEqual([])
})

test.each(documents)('every file of this project that %s names is there', (file) => {
  // Written as `src/…`, `tests/…`, `prisma/…`, `views/…` or `static/…`; what stands for a family of files (<x>, …, *) is not one.
  const named = [...read(file).matchAll(/(?<![\w/.@-])((?:src|tests|prisma|views|static)\/[\w./-]*\w\/?)(?![\w<*…/-])/g)].map((match) => match[1] ?? '')
  expect(named.filter((path) => !existsSync(join(ROOT, path)))).toEqual([])
})

test('every package that is used at run time says in DEVELOPERS.md why it is here', () => {
  const { dependencies, devDependencies } = JSON.parse(read('package.json')) as { dependencies: Record<string, string>; devDependencies: Record<string, string> }
  const text = read('DEVELOPERS.md').split('## Why each package is here')[1] ?? ''
  const short = (name: string) => name.replace(/^@fastify\//, '')
  const missing = [...Object.keys(dependencies), ...Object.keys(devDependencies)].filter((name) => !name.startsWith('@types/') && !text.includes(name) && !text.includes(short(name)))
  expect(missing).toEqual([])
  for (const [name, version] of Object.entries({ ...dependencies, ...devDependencies })) expect(version, name).toMatch(/^\d+\.\d+\.\d+(-[\w.]+)?$/)
})
