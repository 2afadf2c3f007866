import type { MeasurementLine } from '../../src/features/builds/queries/start-form.ts'
import { format, NumberField, usePage } from '../shared/index.ts'

/** The unit a measurement is typed in. */
function shown(line: Pick<MeasurementLine, 'unit' | 'value'>, units: 'metric' | 'imperial'): { text: string; unit: string } {
  const of = line.unit === 'm' ? format.unitsOf(units).length : line.unit === 'm2' ? format.unitsOf(units).area : null
  const value = of ? of.fromSi(line.value) : line.value
  return { text: String(Math.round(value * 1000) / 1000), unit: of?.unit ?? (line.unit === 'g/m2' ? 'g/m²' : line.unit === 'count' ? '' : line.unit) }
}

/** A measurement's field; a guess says so, and stays one until it is changed. */
export function MeasurementField({ line }: { line: MeasurementLine }) {
  const units = usePage().club?.units ?? 'metric'
  const { text, unit } = shown(line, units)
  return (
    <>
      <NumberField name={`m.${line.key}`} label={line.label} value={text} unit={unit} whole={line.unit === 'count'} hint={[line.help, line.guessed ? 'A guess until you change it.' : ''].filter((t) => t !== '').join('. ')} />
      {line.guessed && <input type="hidden" name={`g.${line.key}`} value={text} />}
    </>
  )
}

export function MeasurementText({ line }: { line: MeasurementLine }) {
  const units = usePage().club?.units ?? 'metric'
  const { text, unit } = shown(line, units)
  return <>{text} {unit}</>
}

export function useShown(): (line: MeasurementLine) => string {
  const units = usePage().club?.units ?? 'metric'
  return (line) => shown(line, units).text
}
