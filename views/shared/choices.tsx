import type { ComponentChildren } from 'preact'
import type { Option } from './fields.tsx'
import { FieldError, useField } from './form.tsx'

export type CheckFieldProps = {
  name: string
  label: ComponentChildren
  /** What is sent when ticked. Several boxes may share a name. */
  value?: string | number
  checked?: boolean
  hint?: ComponentChildren
}

/** A box to tick; the whole line is its target. */
export function CheckField({ name, label, value = 'on', checked = false, hint }: CheckFieldProps) {
  const field = useField(name)
  const isTicked = field.ticked(String(value), checked)
  // A box that is not ticked is not sent: compare what it says, not the text.
  const isStored = field.stored !== '' && field.stored !== 'false'
  const stored = isStored === isTicked ? undefined : field.stored
  const id = value === 'on' ? field.id : `${field.id}-${String(value)}`
  return (
    <div class="field">
      <label class="tick" for={id}>
        <input
          type="checkbox"
          id={id}
          name={name}
          value={value}
          checked={isTicked}
          aria-describedby={[hint && `${id}-hint`, field.error && `${field.id}-error`].filter(Boolean).join(' ') || undefined}
          aria-invalid={field.invalid}
        />
        <span>{label}</span>
      </label>
      {hint && <p class="field-hint" id={`${id}-hint`}>{hint}</p>}
      {value === 'on' && <FieldError field={{ ...field, stored }} storedWords={isStored ? 'ticked' : 'not ticked'} />}
    </div>
  )
}

export type GroupProps = { legend: ComponentChildren; name?: string; hint?: ComponentChildren; children: ComponentChildren }

/** Fields that belong together, under one name; with `name`, shows the message of that field once for all its boxes. */
export function FieldGroup({ legend, name, hint, children }: GroupProps) {
  const field = useField(name ?? '')
  return (
    <fieldset class="group" aria-describedby={name ? field.describedBy(Boolean(hint)) : undefined}>
      <legend>{legend}</legend>
      {hint && <p class="field-hint" id={`${field.id}-hint`}>{hint}</p>}
      {children}
      {name && <FieldError field={field} />}
    </fieldset>
  )
}

export type RadioRowProps = { name: string; legend: ComponentChildren; options: readonly Option[]; value?: string | number | null; hint?: ComponentChildren }

/** One of a few, all in sight, each a large target. */
export function RadioRow({ name, legend, options, value, hint }: RadioRowProps) {
  const field = useField(name)
  return (
    <fieldset class={field.error ? 'group field-wrong' : 'group'} aria-describedby={field.describedBy(Boolean(hint))} id={field.id} tabIndex={-1}>
      <legend>{legend}</legend>
      {hint && <p class="field-hint" id={`${field.id}-hint`}>{hint}</p>}
      <div class="radio-row">
        {options.map((option) => (
          <label class="radio" key={option.value}>
            <input type="radio" name={name} value={option.value} checked={field.ticked(String(option.value), String(option.value) === String(value ?? ''))} disabled={option.disabled} />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
      <FieldError field={field} storedWords={options.find((option) => String(option.value) === field.stored)?.label} />
    </fieldset>
  )
}
