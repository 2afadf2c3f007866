/** Forms of measurements: text to what was measured, each fault at its field in the user's words. Pure. */
import { measureKind } from '../../../../views/shared/measures.ts'
import type { MeasurementDef } from '../job-lists/types.ts'
import { plainFault, type BoatSize, type Fault } from './geometry-plausible.ts'
import { readStored, shownIn, type MeasureKind, type Units } from './measure-text.ts'

export type Sent = Readonly<Record<string, unknown>>
export interface About<Guess, Measured> { readonly units: Units; readonly size: BoatSize; readonly guess: Guess | null; readonly stored: Measured | undefined }

export type Read<T> = { readonly value: T; readonly fields: Readonly<Record<string, string>>; /** Every fault is one that may be insisted on. */ readonly isDoubt: boolean }

/** Takes fields one by one and keeps their faults. */
export function reader(sent: Sent, units: Units) {
  const fields: Record<string, string> = {}
  let isImpossible = false
  const isSure = sent['sure'] === 'yes'
  const text = (name: string): string => {
    const value: unknown = Array.isArray(sent[name]) ? sent[name][0] : sent[name]
    return typeof value === 'string' ? value.trim() : ''
  }
  const wrong = (name: string, message: string) => {
    fields[name] ??= message
    isImpossible = true
  }
  const judgeWhole = (name: string, found: Fault | null) => {
    if (found === null || (found.isDoubt && isSure)) return
    fields[name] ??= found.text
    if (!found.isDoubt) isImpossible = true
  }
  const judge = (name: string, what: string, found: Fault | null) => judgeWhole(name, found && { ...found, text: `${what}: ${found.text}` })
  /** Undefined: empty, or not to be read. What stands as it was shown stays to the last digit. */
  const measure = (name: string, what: string, kind: MeasureKind, shown?: number): number | undefined => {
    const typed = text(name)
    if (typed === '') return undefined
    if (shown !== undefined && typed === shownIn(shown, kind, units)) return shown
    const read = readStored(typed, kind, units)
    if (read.ok) return read.value
    wrong(name, `${what}: ${read.refusal}`)
    return undefined
  }
  const whole = (name: string, what: string, least: number, most: number, shown?: number): number | undefined => {
    const n = measure(name, what, 'count', shown)
    if (n === undefined) return undefined
    if (Number.isInteger(n) && n >= least && n <= most) return n
    wrong(name, `${what}: a whole number from ${least} to ${most}, not “${text(name)}”`)
    return undefined
  }
  /** Boxes of this name that are ticked. */
  const ticked = (name: string): readonly string[] => [sent[name]].flat().filter((one) => typeof one === 'string')
  const choice = <T extends string>(name: string, from: readonly T[]): T | undefined => from.find((one) => one === text(name))
  return { fields, text, wrong, judge, judgeWhole, measure, whole, choice, ticked, has: (name: string) => name in fields, isDoubt: () => Object.keys(fields).length > 0 && !isImpossible }
}
export type Reader = ReturnType<typeof reader>

const NAME_MAX = 60
export function ownName(r: Reader): string {
  const name = r.text('name')
  if (name === '') r.wrong('name', 'Name: fill this in')
  else if (name.length > NAME_MAX) r.wrong('name', `Name: at most ${NAME_MAX} characters`)
  return name
}

/** Leaves out what is not there. */
export const defined = <T extends object>(all: { [K in keyof T]: T[K] | undefined }): T => Object.fromEntries(Object.entries(all).filter(([, v]) => v !== undefined)) as T

/** Rows that a form shows: what is stored or was typed, at least `least`, by a button some more. */
export const rowsOf = (sent: Sent, filled: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, filled, Number.isInteger(Number(sent['rows'])) ? Number(sent['rows']) : 0))

export interface PlainLine { readonly def: MeasurementDef; readonly value: number; readonly isMeasured: boolean; /** What it is taken for while nobody measures it. */ readonly guess: number }
/** Plain measurements that the form changes; null: back to the guess. What stands as it was shown is left out, unless `ok` says that it was measured so. */
export function readPlain(sent: Sent, lines: readonly PlainLine[], units: Units): Read<Record<string, number | null>> {
  const r = reader(sent, units)
  const value: Record<string, number | null> = {}
  for (const { def, value: now, isMeasured, guess } of lines) {
    const name = `m.${def.key}`
    if (!(name in sent)) continue
    const kind = measureKind(def)
    const typed = r.text(name)
    if (typed === shownIn(now, kind, units)) {
      if (!isMeasured && r.ticked('ok').includes(def.key)) value[def.key] = now
      continue
    }
    if (typed === '') {
      if (def.guess === null && !def.byGrade) r.wrong(name, `${def.label}: fill this in; nothing can be guessed without it`)
      else if (isMeasured) value[def.key] = null
      continue
    }
    const read = def.choices ? def.choices.find((c) => String(c.value) === typed)?.value : r.measure(name, def.label, kind)
    if (read === undefined) r.wrong(name, `${def.label}: choose from the list`)
    else {
      if (!def.choices) r.judgeWhole(name, plainFault(def, read, kind, guess, units))
      value[def.key] = read
    }
  }
  return { value, fields: r.fields, isDoubt: r.isDoubt() }
}
