import type { ComponentChildren } from 'preact'
import { FieldError, useField } from './form.tsx'
import { STOCK_UNITS } from './format.ts'
import { usePage } from './page-context.ts'

export type FieldProps = {
  name: string
  label: string
  /** What stands in it at first; what was typed wins after a refusal. */
  value?: string | number | null | undefined
  hint?: ComponentChildren
  required?: boolean
  autocomplete?: string
  /** About how many characters it holds: sets its width. */
  size?: 'short' | 'middle' | 'full'
  /** For links that lead to this field: ids of fields are fresh for each form. */
  anchor?: string
}

type InputType = 'text' | 'email' | 'password' | 'url' | 'search' | 'time' | 'date'
type FrameProps = FieldProps & { type: InputType; inputMode?: 'decimal' | 'numeric' | 'email'; unit?: string | undefined; more?: Record<string, string | number | undefined> }

function Frame({ name, label, value, hint, required, autocomplete, size = 'middle', anchor, type, inputMode, unit, more = {} }: FrameProps) {
  const field = useField(name)
  const input = (
    <input
      id={field.id}
      name={name}
      type={type as 'text'}
      value={type === 'password' ? '' : field.value(value)}
      class={`input input-${size}`}
      inputMode={inputMode}
      required={required}
      autoComplete={autocomplete}
      aria-describedby={field.describedBy(Boolean(hint))}
      aria-invalid={field.invalid}
      {...more}
    />
  )
  return (
    <div class={field.error ? 'field field-wrong' : 'field'} id={anchor}>
      <label for={field.id}>{label}{!required && required !== undefined && <Optional />}{unit && <span class="hidden">, in {unit}</span>}</label>
      {hint && <p class="field-hint" id={`${field.id}-hint`}>{hint}</p>}
      {unit ? <span class="with-unit">{input}<span aria-hidden="true">{unit}</span></span> : input}
      <FieldError field={field} />
    </div>
  )
}

const Optional = () => <span class="optional"> (may stay empty)</span>

/** One line of text. `type` for e-mail, passwords and web addresses. */
export function Field({ type = 'text', maxLength, ...props }: FieldProps & { type?: 'text' | 'email' | 'password' | 'url' | 'search'; maxLength?: number }) {
  return <Frame {...props} type={type} {...(type === 'email' ? { inputMode: 'email' as const } : {})} more={{ maxlength: maxLength }} />
}

/** A number with its unit beside it. Text to the browser, so that what was typed, even "abc", comes back with the message. */
export function NumberField({ unit, whole = false, ...props }: FieldProps & { unit?: string; whole?: boolean }) {
  return <Frame size="short" autocomplete="off" {...props} type="text" inputMode={whole ? 'numeric' : 'decimal'} unit={unit} />
}

/**
 * An amount of an item: typed in the item's unit with a point or a comma, or with a unit of its own ("1.2 kg", "12 oz"); read by
 * `parseAmount` of the stores. `milli` is what stands in it at first, in thousandths of the unit.
 */
export function AmountField({ unit, milli, value, ...props }: FieldProps & { unit: string; milli?: number | bigint | null | undefined }) {
  const { club } = usePage()
  const hint = props.hint ?? (club?.units === 'imperial' && AMOUNT_EXAMPLE[unit] ? `In ${AMOUNT_EXAMPLE[unit]}` : undefined)
  const first = milli === null || milli === undefined ? value : String(Number(milli) / 1000)
  return <Frame size="short" autocomplete="off" {...props} value={first} hint={hint} type="text" inputMode="decimal" unit={STOCK_UNITS[unit] ?? unit} />
}

const AMOUNT_EXAMPLE: Readonly<Record<string, string>> = { g: 'grams, or with its unit: 12 oz, 2 lb', m: 'metres, or with its unit: 6 ft', m2: 'square metres, or with its unit: 30 ft2' }

/** A local time of day, "HH:MM". */
export function TimeField({ step, ...props }: FieldProps & { step?: number }) {
  return <Frame size="short" autocomplete="off" {...props} type="time" more={{ step }} />
}

/** A local date, "YYYY-MM-DD". */
export function DateField({ min, max, ...props }: FieldProps & { min?: string; max?: string }) {
  return <Frame size="short" autocomplete="off" {...props} type="date" more={{ min, max }} />
}

export function TextArea({ name, label, value, hint, required, rows = 4 }: FieldProps & { rows?: number }) {
  const field = useField(name)
  return (
    <div class={field.error ? 'field field-wrong' : 'field'}>
      <label for={field.id}>{label}{!required && required !== undefined && <Optional />}</label>
      {hint && <p class="field-hint" id={`${field.id}-hint`}>{hint}</p>}
      <textarea id={field.id} name={name} class="input input-full" rows={rows} required={required} aria-describedby={field.describedBy(Boolean(hint))} aria-invalid={field.invalid}>
        {field.value(value)}
      </textarea>
      <FieldError field={field} />
    </div>
  )
}

export type Option = { value: string | number; label: string; disabled?: boolean; group?: string }

/** One of many; options of the same `group` (in order) stand under its name. */
export function SelectField({ name, label, value, hint, required, options, blank, size = 'middle', anchor }: FieldProps & { options: readonly Option[]; blank?: string }) {
  const field = useField(name)
  const chosen = field.value(value)
  const one = (option: Option) => (
    <option key={option.value} value={option.value} selected={String(option.value) === chosen} disabled={option.disabled}>{option.label}</option>
  )
  const groups = [...new Set(options.map((option) => option.group))]
  return (
    <div class={field.error ? 'field field-wrong' : 'field'} id={anchor}>
      <label for={field.id}>{label}{!required && required !== undefined && <Optional />}</label>
      {hint && <p class="field-hint" id={`${field.id}-hint`}>{hint}</p>}
      <select id={field.id} name={name} class={`input input-${size}`} required={required} aria-describedby={field.describedBy(Boolean(hint))} aria-invalid={field.invalid}>
        {blank !== undefined && <option value="" selected={chosen === ''}>{blank}</option>}
        {groups.map((group) => {
          const inside = options.filter((option) => option.group === group).map(one)
          return group ? <optgroup key={group} label={group}>{inside}</optgroup> : inside
        })}
      </select>
      <FieldError field={field} storedWords={options.find((option) => String(option.value) === field.stored)?.label} />
    </div>
  )
}
