import type { Units } from '../../../../views/shared/format.ts'
import { measureKind, shownIn } from '../../../../views/shared/measures.ts'
import type { Skill } from '../../../core/estimate/types.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { readPlain, type Read, type Sent } from '../facts/geometry-form.ts'
import { readPanel } from '../facts/panel-form.ts'
import { readSeam } from '../facts/seam-form.ts'
import type { Geometry } from '../job-lists/geometry.ts'
import type { Grade } from '../job-lists/types.ts'
import {
  geometric, measureLines, nextOwnKey, panelFacts, panelValues, seamFacts, seamValues, withPanel, withSeam, type Geometric, type PanelFacts, type SeamFacts, type Values,
} from '../queries/geometry.ts'
import { changeBoat, changedWords } from './change-boat.ts'

type Sending = { readonly version: number; readonly sent: Sent; readonly units: Units }
const STALE = 'Somebody changed this build while the page was open.'

/** The build as it is stored, locked; on a stale page what is stored now. */
async function current(tx: Tx, buildId: string, version: number, values: (g: Geometric) => Values | null): Promise<Result<Geometric, Refusal>> {
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const g = await geometric(tx, buildId)
  return g.version === version ? ok(g) : refused(409, STALE, { current: values(g) ?? {} })
}

const UNLIKELY = 'Nothing was changed: look once more at what is unlikely, or tick below that it is so.'
const IMPOSSIBLE = 'Some of this can’t be used as it stands. Nothing was changed.'
function wrong({ fields, isDoubt }: Read<unknown>): { ok: false; refusal: Refusal } {
  return refused(422, isDoubt ? UNLIKELY : IMPOSSIBLE, { fields: { ...fields } })
}

export async function saveMeasured(tx: Tx, ctx: Ctx, buildId: string, input: Sending & { grade: Grade; skill: Skill | undefined }): Promise<Result<Done, Refusal>> {
  const g = await current(tx, buildId, input.version, (now) => measuredValues(now, input.units))
  if (!g.ok) return g
  const read = readPlain(input.sent, measureLines(g.value), input.units)
  if (Object.keys(read.fields).length > 0) return wrong(read)
  const skill = input.skill ?? g.value.state.skill
  const change = { measured: read.value, grade: input.grade, skill }
  const done = await changeBoat(tx, ctx, buildId, change, { version: input.version, why: 'measured anew' })
  if (!done.ok) return done
  return ok({ location: `/builds/${buildId}/measurements`, flash: `Measurements are saved. ${changedWords(done.value)}` })
}

async function saveGeometry(tx: Tx, ctx: Ctx, buildId: string, geometry: Geometry, input: { version: number; why: string; location: string; flash: string }): Promise<Result<Done, Refusal>> {
  const done = await changeBoat(tx, ctx, buildId, { geometry }, { version: input.version, why: input.why })
  if (!done.ok) return done
  return ok({ location: input.location, flash: `${input.flash}. ${changedWords(done.value)}` })
}

/** `key` null: a panel of people's own. */
export async function savePanel(tx: Tx, ctx: Ctx, buildId: string, key: string | null, input: Sending): Promise<Result<Done, Refusal>> {
  const values = (g: Geometric) => (key === null ? null : panelFacts(g, key))
  const g = await current(tx, buildId, input.version, (now) => asValues(values(now), (facts) => panelValues(facts, input.units)))
  if (!g.ok) return g
  const facts = key === null ? null : found(panelFacts(g.value, key))
  const read = readPanel(input.sent, { units: input.units, size: g.value.size, guess: facts?.guess ?? null, stored: facts?.stored }, facts?.isOwn ?? true)
  if (Object.keys(read.fields).length > 0) return wrong(read)
  const at = key ?? nextOwnKey(g.value.state.geometry.panels)
  const name = read.value.name ?? facts?.name ?? at
  const panel = Object.keys(read.value).length === 0 ? undefined : read.value
  return saveGeometry(tx, ctx, buildId, withPanel(g.value.state.geometry, at, panel), {
    version: input.version, why: `“${name}” measured`, location: `/builds/${buildId}/panels/${at}`, flash: `“${name}” is saved`,
  })
}

export async function saveSeam(tx: Tx, ctx: Ctx, buildId: string, key: string | null, input: Sending): Promise<Result<Done, Refusal>> {
  const values = (g: Geometric) => (key === null ? null : seamFacts(g, key))
  const g = await current(tx, buildId, input.version, (now) => asValues(values(now), (facts) => seamValues(facts, input.units)))
  if (!g.ok) return g
  const facts = key === null ? null : found(seamFacts(g.value, key))
  const read = readSeam(input.sent, { units: input.units, size: g.value.size, guess: facts?.guess ?? null, stored: facts?.stored }, facts?.isOwn ?? true)
  if (Object.keys(read.fields).length > 0) return wrong(read)
  const at = key ?? nextOwnKey(g.value.state.geometry.seams)
  const name = read.value.name ?? facts?.name ?? at
  const seam = Object.keys(read.value).length === 0 ? undefined : read.value
  return saveGeometry(tx, ctx, buildId, withSeam(g.value.state.geometry, at, seam), {
    version: input.version, why: `“${name}” measured`, location: `/builds/${buildId}/seams/${at}`, flash: `“${name}” is saved`,
  })
}

const asValues = <F>(facts: F | null, values: (facts: F) => Values): Values | null => (facts === null ? null : values(facts))

export type Fate = 'guess' | 'leave-out' | 'take-in' | 'remove'
export type Part = 'panels' | 'seams'

/** Back to the list's guess, left out, taken in again; one of people's own is removed for good. */
export async function decideFate(tx: Tx, ctx: Ctx, buildId: string, part: Part, key: string, fate: Fate, version: number): Promise<Result<Done, Refusal>> {
  const g = await current(tx, buildId, version, () => null)
  if (!g.ok) return g
  const facts: PanelFacts | SeamFacts = found(part === 'panels' ? panelFacts(g.value, key) : seamFacts(g.value, key))
  if (fate === 'guess' && facts.isOwn) return refused(422, 'Nothing is guessed about one that the list doesn’t have: measure it, or take it off.')
  if (fate === 'remove' && !facts.isOwn) return refused(422, 'What the list has can be left out, not taken off.')
  const { geometry } = g.value.state
  const left = leftOf(facts, fate)
  const next = part === 'panels' ? withPanel(geometry, key, left) : withSeam(geometry, key, left)
  const at = `/builds/${buildId}/${part}`
  const did = `“${facts.name}” ${FATE_WORDS[fate]}`
  return saveGeometry(tx, ctx, buildId, next, { version, why: did, location: fate === 'guess' || fate === 'take-in' ? `${at}/${key}` : at, flash: did })
}

const FATE_WORDS: Record<Fate, string> = { guess: 'is a guess again', 'leave-out': 'is left out', 'take-in': 'counts again', remove: 'is taken off' }

/** What is kept about it; undefined: nothing. */
function leftOf({ stored, isLeftOut }: { stored: { leftOut?: boolean } | undefined; isLeftOut: boolean }, fate: Fate) {
  const { leftOut: _leftOut, ...rest } = stored ?? {}
  switch (fate) {
    case 'leave-out': return { ...stored, leftOut: true }
    case 'take-in': return Object.keys(rest).length > 0 ? rest : undefined
    case 'guess': return isLeftOut ? { leftOut: true } : undefined
    case 'remove': return undefined
  }
}

/** Of the measurements form, for a stale page. */
function measuredValues(g: Geometric, units: Units): Values {
  return { grade: g.state.grade, skill: g.state.skill, ...Object.fromEntries(measureLines(g).map((line) => [`m.${line.key}`, shownIn(line.value, measureKind(line), units)])) }
}
