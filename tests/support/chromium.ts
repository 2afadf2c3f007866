import { accessSync, constants, existsSync, mkdtempSync, renameSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { chromium, type Browser } from 'playwright-core'

const NAMES = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome']

/** A Chromium of the machine (CHROMIUM names one; CHROMIUM=package asks for the other), else the one that comes as a package. */
export async function launchChromium(): Promise<Browser> {
  const own = findChromium()
  const { path, env } = own ? { path: own, env: {} } : await packagedChromium()
  return chromium.launch({
    executablePath: path,
    // As root, and in most containers, Chromium's own sandbox does not start. It only ever opens our own pages here.
    args: ['--no-sandbox', '--disable-dev-shm-usage', '--disable-gpu', '--font-render-hinting=none', ...(own ? [] : ['--no-zygote'])],
    env: { ...(process.env as Record<string, string>), ...env },
  })
}

function findChromium(): string | null {
  const named = process.env['CHROMIUM']
  if (named === 'package') return null
  if (named) return named
  for (const folder of (process.env['PATH'] ?? '').split(delimiter)) {
    for (const name of NAMES) if (isExecutable(join(folder, name))) return join(folder, name)
  }
  return null
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}

/** Unpacks the package's browser once for this user, with the libraries and fonts that a bare machine lacks. */
async function packagedChromium(): Promise<{ path: string; env: Record<string, string> }> {
  const folder = join(tmpdir(), `garboard-chromium-147-${process.getuid?.() ?? 0}`)
  if (!existsSync(folder)) await unpack(folder)
  const libraries = [join(folder, 'al2023', 'lib'), process.env['LD_LIBRARY_PATH']].filter(Boolean).join(delimiter)
  const fonts: Record<string, string> = existsSync('/etc/fonts/fonts.conf') ? {} : { FONTCONFIG_PATH: join(folder, 'fonts') }
  return { path: join(folder, 'chromium'), env: { LD_LIBRARY_PATH: libraries, ...fonts } }
}

async function unpack(folder: string): Promise<void> {
  // Into a folder of this process first: two test files may start at once, and the package looks only whether a file is there.
  const fresh = mkdtempSync(`${folder}-`)
  const before = { ...process.env }
  try {
    process.env['TMPDIR'] = fresh
    // This makes the package unpack its libraries too.
    process.env['AWS_EXECUTION_ENV'] = 'AWS_Lambda_nodejs20.x'
    const { default: packaged } = await import('@sparticuz/chromium')
    await packaged.executablePath()
  } finally {
    for (const name of ['TMPDIR', 'AWS_EXECUTION_ENV', 'LD_LIBRARY_PATH', 'FONTCONFIG_PATH', 'HOME']) {
      if (before[name] === undefined) delete process.env[name]
      else process.env[name] = before[name]
    }
  }
  try {
    renameSync(fresh, folder)
  } catch (error) {
    rmSync(fresh, { recursive: true, force: true })
    // Another test file was quicker: its copy is the same.
    if (!existsSync(join(folder, 'chromium'))) throw error
  }
}
