import type { ComponentChildren } from 'preact'
import { fieldUnit, measureKind, NumberField, SelectField, shownIn, usePage } from '../shared/index.ts'

/** One measurement of a list as forms show it; `value` is SI. */
export type FieldLine = {
  key: string; label: string; unit: string; help: string; value: number; guessed: boolean
  choices?: readonly { value: number; label: string }[] | undefined
}

/** The unit a measurement is typed in. */
function shown(line: FieldLine, units: 'metric' | 'imperial'): { text: string; unit: string } {
  const kind = measureKind(line)
  return { text: shownIn(line.value, kind, units), unit: fieldUnit(kind, units).word }
}

const useUnits = (): 'metric' | 'imperial' => usePage().club?.units ?? 'metric'

/** A measurement's field; a guess says so, and stays one until it is changed. `origin` says it in other words. */
export function MeasurementField({ line, origin }: { line: FieldLine; origin?: ComponentChildren }) {
  const { text, unit } = shown(line, useUnits())
  const sure = origin ?? (line.guessed ? 'A guess until you change it.' : '')
  const hint = line.help === '' ? sure : <>{line.help}{sure !== '' && <>. {sure}</>}</>
  return (
    <>
      {line.choices ? (
        <SelectField name={`m.${line.key}`} label={line.label} anchor={`m-${line.key}`} value={line.value} hint={hint} options={line.choices} />
      ) : (
        <NumberField name={`m.${line.key}`} label={line.label} anchor={`m-${line.key}`} value={text} unit={unit} whole={line.unit === 'count'} hint={hint} />
      )}
      {line.guessed && origin === undefined && <input type="hidden" name={`g.${line.key}`} value={text} />}
    </>
  )
}

export function MeasurementText({ line }: { line: FieldLine }) {
  const { text, unit } = shown(line, useUnits())
  return <>{line.choices?.find((c) => c.value === line.value)?.label ?? `${text} ${unit}`.trim()}</>
}

export function useShown(): (line: FieldLine) => string {
  const units = useUnits()
  return (line) => shown(line, units).text
}
