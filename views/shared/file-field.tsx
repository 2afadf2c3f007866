import type { ComponentChildren } from 'preact'
import { FieldError, useField } from './form.tsx'

/** Kinds of photos that are read; phones that take others turn them into one of these, and offer the camera beside their pictures. */
const PHOTOS = 'image/jpeg,image/png,image/webp'

export type FileFieldProps = { name: string; label: string; hint?: ComponentChildren; several?: boolean; accept?: string }

/** Photos or other files; its form has `files`. A browser never keeps a chosen file, so a form shown again says to choose it anew. */
export function FileField({ name, label, hint, several = false, accept = PHOTOS }: FileFieldProps) {
  const field = useField(name)
  return (
    <div class={field.error ? 'field field-wrong' : 'field'}>
      <label for={field.id}>{label}</label>
      {(hint || field.wasSent) && (
        <p class="field-hint" id={`${field.id}-hint`}>{field.wasSent && <b>Choose {several ? 'them' : 'it'} again: browsers don’t keep chosen files. </b>}{hint}</p>
      )}
      <input
        id={field.id}
        name={name}
        type="file"
        class="input input-full"
        accept={accept}
        multiple={several}
        aria-describedby={field.describedBy(Boolean(hint) || field.wasSent)}
        aria-invalid={field.invalid}
      />
      <FieldError field={field} />
    </div>
  )
}
