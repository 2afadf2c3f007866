import { execFileSync, spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { ROOT } from '../../src/platform/paths.ts'

const folder = mkdtempSync(join(tmpdir(), 'garboard-imports-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** A small tree of the same shape, with files that break a rule each: path, the import in it, the rule that must catch it. */
const bad: [file: string, line: string, rule: string][] = [
  ['src/core/cure/disk.ts', "import 'node:fs'", 'core-is-pure'],
  ['src/core/cure/db.ts', "import '../../platform/database.ts'", 'core-is-pure'],
  ['src/core/units/up.ts', "import '../schedule/plan.ts'", 'core-units-downward'],
  ['src/core/stock/cure.ts', "import type { A } from '../cure/cure.ts'", 'core-stock-downward'],
  ['src/platform/up.ts', "import '../features/members/queries.ts'", 'platform-stays-below'],
  ['src/platform/page.ts', "import '../../views/members/list.tsx'", 'platform-stays-below'],
  ['src/features/members/routes.ts', "import '../../platform/database.ts'", 'database-from-queries-and-commands'],
  ['src/features/members/later.ts', "import '../builds/public.ts'", 'feature-members-others'],
  ['src/features/builds/private.ts', "import '../members/queries.ts'", 'feature-builds-others'],
  ['src/features/builds/app.ts', "import '../../app/build-app.ts'", 'features-not-app'],
  ['src/features/builds/view.ts', "import '../../../views/members/list.tsx'", 'features-own-views'],
  ['views/members/db.tsx', "import '../../src/platform/database.ts'", 'views-not-platform'],
  ['views/members/value.tsx', "import { a } from '../../src/features/members/queries.ts'", 'views-of-features-only-types'],
  ['views/builds/other.tsx', "import '../members/list.tsx'", 'views-builds-others'],
  ['views/shared/own.tsx', "import '../members/list.tsx'", 'shared-views-alone'],
  ['views/shared/disk.tsx', "import 'node:fs'", 'views-no-node'],
  ['src/features/builds/main.ts', "import '../../main.ts'", 'nobody-imports-main'],
]

const good: [file: string, text: string][] = [
  ['src/core/units/units.ts', 'export type A = 1'],
  ['src/core/cure/cure.ts', "export type { A } from '../units/units.ts'"],
  ['src/core/schedule/plan.ts', "import type { A } from '../cure/cure.ts'\nexport const plan = (a: A) => a"],
  ['src/platform/database.ts', "import 'node:fs'\nexport type Tx = 1"],
  ['src/features/members/queries.ts', "import '../../platform/database.ts'\nexport const a = 1"],
  ['src/features/members/public.ts', "export { a } from './queries.ts'"],
  ['src/features/members/schemas.ts', "import type { Tx } from '../../platform/database.ts'\nexport type B = Tx"],
  ['src/features/builds/public.ts', "export { a } from '../members/public.ts'"],
  ['src/app/build-app.ts', "import '../features/members/queries.ts'"],
  ['src/main.ts', "import './app/build-app.ts'"],
  ['views/members/list.tsx', "import type { a } from '../../src/features/members/queries.ts'\nexport type L = typeof a"],
]

test('every import rule catches a file that breaks it, and lets through what is allowed', () => {
  const put = (file: string, text: string) => {
    mkdirSync(dirname(join(folder, file)), { recursive: true })
    writeFileSync(join(folder, file), `${text}\n`)
  }
  for (const [file, text] of [...good, ...bad.map(([file, line]) => [file, `${line}\nexport {}`] as const)]) put(file, text)
  cpSync(join(ROOT, 'tests/imports.cjs'), join(folder, 'imports.cjs'))
  cpSync(join(ROOT, 'tsconfig.json'), join(folder, 'tsconfig.json'))
  writeFileSync(join(folder, 'package.json'), '{ "type": "module" }')
  symlinkSync(join(ROOT, 'node_modules'), join(folder, 'node_modules'))
  const { stdout } = spawnSync(process.execPath, [join(ROOT, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs'), '--config', 'imports.cjs', '--output-type', 'json', 'src', 'views'],
    { cwd: folder, encoding: 'utf8' })
  const { summary } = JSON.parse(stdout) as { summary: { violations: { from: string; rule: { name: string } }[] } }
  const found = summary.violations.map(({ from, rule }) => `${from}: ${rule.name}`)
  for (const [file, , rule] of bad) expect(found).toContain(`${file}: ${rule}`)
  const badFiles = new Set(bad.map(([file]) => file))
  expect(found.filter((line) => !badFiles.has(line.split(':')[0] ?? ''))).toEqual([])
})

test('core does not compile with what a computer has and a calculation has not', () => {
  const file = join(ROOT, 'src/core/tsconfig.json')
  const settings = JSON.parse(execFileSync(process.execPath, [join(ROOT, 'node_modules/typescript/bin/tsc'), '-p', file, '--showConfig'], { encoding: 'utf8' })) as {
    compilerOptions: { types: string[]; lib: string[] }
  }
  expect(settings.compilerOptions).toMatchObject({ types: [], lib: ['es2023'] })
})
