import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The folder with package.json, from the sources as from a bundle in dist/. */
export const ROOT = findRoot(dirname(fileURLToPath(import.meta.url)))

function findRoot(from: string): string {
  for (let folder = from; ; folder = dirname(folder)) {
    const file = join(folder, 'package.json')
    if (existsSync(file) && (JSON.parse(readFileSync(file, 'utf8')) as { name?: string }).name === 'garboard') return folder
    if (dirname(folder) === folder) throw new Error(`no package.json of garboard above ${from}`)
  }
}
