import { z } from 'zod'
import { checkbox, id, longText, many, maybeDate, maybeId, maybeNumber, shortText, someNumber, version, wholeNumber } from '../../../platform/form-fields.ts'
import { CRAFTS } from '../../../core/forecast/types.ts'
import { hoursText } from './hours.ts'
import { readChoice, type TypedMaterial } from '../facts/material-choice.ts'
import { stage } from './logging.ts'

const tool = z.object({ toolId: id, count: z.number().int().min(1).max(1000), heldUntil: stage.nullable() })
export type ToolInput = z.output<typeof tool>

/** `tool.<id>` = count and `held.<id>` = stage, for each tool of the club. */
function toolsOf(raw: Record<string, unknown>, c: z.RefinementCtx): ToolInput[] {
  const out: ToolInput[] = []
  for (const [field, value] of Object.entries(raw)) {
    if (!field.startsWith('tool.') || typeof value !== 'string' || value.trim() === '' || value.trim() === '0') continue
    const toolId = field.slice(5)
    const parsed = tool.safeParse({ toolId, count: Number(value), heldUntil: raw[`held.${toolId}`] || null })
    if (parsed.success) out.push(parsed.data)
    else c.addIssue({ code: 'custom', path: [field], message: `How many: a whole number, or empty; not “${value}”` })
  }
  return out
}

const work = z.object({
  name: shortText('Name'),
  phaseId: maybeId,
  newPhase: z.string().trim().max(80, 'At most 80 characters').default(''),
  note: longText(),
  caution: longText(500),
  kind: z.enum(['shared', 'together', 'unattended']),
  low: hoursText(0),
  likely: hoursText(0),
  high: hoursText(0),
  handsFrom: wholeNumber('Hands, from', 0, 50, 1),
  handsTo: wholeNumber('Hands, to', 0, 50, 1),
  smallest: maybeNumber('Smallest piece, minutes', 1, 10_000, true),
  setUp: wholeNumber('Set-up, minutes', 0, 1440, 0),
  clearUp: wholeNumber('Clear-up, minutes', 0, 1440, 0),
  where: z.enum(['boat', 'anywhere', 'places']).default('boat'),
  places: many(id),
  dusty: checkbox,
  /** '': told from the rest. */
  craft: z.union([z.enum(CRAFTS), z.literal('').transform(() => null)]).nullable().default(null),
  productId: maybeId,
  minAir: maybeNumber('Air at least, °C', -20, 45),
  maxAir: maybeNumber('Air at most, °C', -20, 60),
  maxHumidity: maybeNumber('Humidity at most, %', 1, 100),
  dewPointMargin: maybeNumber('Above dew point, °C', 0, 20),
  releaseOn: maybeDate(),
  competences: many(id),
  steps: longText(8000),
  materialName: many(z.string().trim().max(120)),
  materialUnit: many(z.string().trim()),
  materialLow: many(z.string().trim()),
  materialLikely: many(z.string().trim()),
  materialHigh: many(z.string().trim()),
  materialRule: many(z.string().trim().max(300)),
  /** '', not, mixed, product:<id>, or an item's id. */
  materialFrom: many(z.string().trim().max(60)),
  /** structure, any, or '': by what it is. */
  materialUse: many(z.string().trim()),
})

export const UNITS = ['g', 'ml', 'm', 'm2', 'pcs'] as const

function materialsOf(v: z.output<typeof work>, c: z.RefinementCtx): TypedMaterial[] {
  const out: TypedMaterial[] = []
  v.materialName.forEach((name, i) => {
    if (name === '') return
    const unit = v.materialUnit[i] ?? ''
    const [low, likely, high] = [v.materialLow[i], v.materialLikely[i], v.materialHigh[i]].map((t) => (t ? Number(t.replace(',', '.')) : NaN)) as [number, number, number]
    const bad = (message: string) => c.addIssue({ code: 'custom', path: ['materials'], message: `${name}: ${message}` })
    if (!(UNITS as readonly string[]).includes(unit)) return bad('choose its unit')
    if (!Number.isFinite(likely) || likely < 0) return bad('say how much is likely')
    const range = { low: Number.isFinite(low) ? low : likely, likely, high: Number.isFinite(high) ? high : likely }
    if (range.high > 1e6) return bad('more than any boat takes')
    if (range.low < 0 || range.low > likely || likely > range.high) return bad('low ≤ likely ≤ high')
    const [from, use] = [v.materialFrom[i] ?? '', v.materialUse[i] ?? '']
    if (!/^(not|mixed|)$/.test(from) && !z.uuid().safeParse(from.replace('product:', '')).success) return bad('choose from the list what it is in the stores')
    out.push({ name, unit, ...range, rule: v.materialRule[i] ?? '', choice: readChoice(from), structural: use === '' ? null : use === 'structure' })
  })
  return out
}

const whole = z.looseObject({}).transform((raw, c) => {
  const parsed = work.safeParse(raw)
  if (!parsed.success) {
    for (const issue of parsed.error.issues) c.addIssue({ code: 'custom', path: issue.path, message: issue.message })
    return z.NEVER
  }
  const v = parsed.data
  const bad = (path: string, message: string) => c.addIssue({ code: 'custom', path: [path], message })
  if (v.low > v.likely) bad('low', 'Low is more than likely')
  if (v.high < v.likely) bad('high', 'High is less than likely')
  if (v.kind !== 'unattended' && v.likely < 1) bad('likely', 'More than nothing: a task that people do takes time')
  if (v.kind !== 'unattended' && v.handsFrom < 1) bad('handsFrom', 'At least one pair of hands, or choose “unattended”')
  if (v.handsTo < v.handsFrom) bad('handsTo', `Not fewer than from: ${v.handsFrom}`)
  if (v.productId !== null && v.smallest !== null) bad('smallest', 'A coat or glue-up goes on in one go: leave this empty, or split her surface into two tasks (port and starboard)')
  if (v.minAir !== null && v.maxAir !== null && v.minAir > v.maxAir) bad('maxAir', 'Below “at least”')
  if (v.where === 'places' && v.places.length === 0) bad('places', 'Choose at least one place, or “where she stands”')
  if (v.phaseId === null && v.newPhase === '') bad('phaseId', 'Choose a phase, or name a new one')
  const tools = toolsOf(raw, c)
  if (v.productId === null && tools.some((t) => t.heldUntil !== null)) bad('tools', 'A tool can be held until a cure stage only where something cures: choose a cure product')
  return { ...v, tools, materials: materialsOf(v, c), stepTexts: v.steps.split(/\r?\n/).map((s) => s.trim()).filter((s) => s !== '') }
})

export const NewTaskForm = whole.and(z.object({ after: maybeId }))
export const EditTaskForm = whole.and(z.object({ version }))
export type TaskInput = z.output<typeof whole>

export const SplitForm = z.object({
  version,
  firstName: shortText('First name'),
  secondName: shortText('Second name'),
  share: someNumber('Share of the first, %', 1, 99),
  /** One after the other, or side by side. */
  order: z.enum(['after', 'beside']),
})
export const MoveForm = z.object({ to: z.enum(['up', 'down']) })
