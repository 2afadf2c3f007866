import { createContext, type ComponentChildren } from 'preact'
import { useContext } from 'preact/hooks'
import { usePage } from './page-context.ts'

/** What was sent, for showing it again; a field that repeats is a list. */
export type Typed = Record<string, string | string[]>

/** Why nothing was changed: the platform's Refusal fits. */
export type FormRefusal = { status?: number; message: string; fields?: Record<string, string>; current?: unknown }

type FormState = { id: string; typed: Typed | null; refusal: FormRefusal | null }

const FormContext = createContext<FormState>({ id: 'f', typed: null, refusal: null })

export type FormProps = {
  action: string
  children: ComponentChildren
  /** What the command said; messages go to the fields they name, the rest on top. */
  refusal?: FormRefusal | null | undefined
  /** What was typed before the refusal; the fields show it again by themselves. */
  typed?: Typed | null | undefined
  /** The version the row was loaded with; sent back so that a stale page is noticed. */
  version?: number | undefined
  /** A search or a choice that changes nothing: no once-only key. */
  method?: 'post' | 'get'
  /** `row` sets the fields side by side where there is room. */
  layout?: 'stack' | 'row'
  /** Fields sent with it that nobody sees. */
  hidden?: Record<string, string | number>
  /** htmx attributes, such as { 'hx-target': '#pieces' }. */
  hx?: Record<`hx-${string}`, string>
  label?: string
  /** It has a FileField: sent in parts, which only routes that say so take. */
  files?: boolean
}

/** A form with its once-only key. Fields inside know their typed value and their message by name. */
export function Form({ action, children, refusal, typed, version, method = 'post', layout = 'stack', hidden = {}, hx = {}, label, files = false }: FormProps) {
  const page = usePage()
  const once = page.once()
  // Ids are fresh for every form, so that a fragment put into a page never repeats one.
  const id = `f${once.replaceAll('-', '').slice(0, 10)}`
  return (
    <form class={`form form-${layout}`} action={action} method={method} noValidate aria-label={label} encType={files ? 'multipart/form-data' : undefined} {...hx}>
      {method === 'post' && <input type="hidden" name="once" value={once} />}
      {version !== undefined && <input type="hidden" name="version" value={version} />}
      {Object.entries(hidden).map(([name, value]) => <input key={name} type="hidden" name={name} value={value} />)}
      <FormContext.Provider value={{ id, typed: typed ?? null, refusal: refusal ?? null }}>
        {refusal && <ErrorSummary refusal={refusal} formId={id} />}
        {children}
      </FormContext.Provider>
    </form>
  )
}

const idOf = (formId: string, name: string): string => `${formId}-${name.replaceAll(/[^a-zA-Z0-9_-]/g, '-')}`

export type FieldState = {
  id: string
  error: string | undefined
  /** What another person has stored meanwhile, on a stale page (409). */
  stored: string | undefined
  /** Ids of hint and message, for aria-describedby. */
  describedBy(hasHint: boolean): string | undefined
  invalid: 'true' | undefined
  /** Whether the form was sent already and is shown again. */
  wasSent: boolean
  /** What was typed, if the form was sent, else what is given. */
  value(given: string | number | null | undefined): string
  /** Whether a box or radio with this value is ticked. */
  ticked(value: string, given: boolean): boolean
}

/** For a part that makes a form field of its own. */
export function useField(name: string): FieldState {
  const { id: formId, typed, refusal } = useContext(FormContext)
  const id = idOf(formId, name)
  const error = refusal?.fields?.[name]
  const sent = typed?.[name]
  const stored = refusal?.status === 409 ? storedText(refusal.current, name) : undefined
  return {
    id,
    error,
    stored: stored === undefined || stored === (Array.isArray(sent) ? sent[0] : sent) ? undefined : stored,
    describedBy: (hasHint) =>
      [hasHint && `${id}-hint`, error && `${id}-error`, stored !== undefined && `${id}-stored`].filter(Boolean).join(' ') || undefined,
    invalid: error ? 'true' : undefined,
    wasSent: typed !== null,
    value: (given) => (typed ? (Array.isArray(sent) ? (sent[0] ?? '') : (sent ?? '')) : given === null || given === undefined ? '' : String(given)),
    ticked: (value, given) => (typed ? [sent].flat().includes(value) : given),
  }
}

function storedText(current: unknown, name: string): string | undefined {
  if (typeof current !== 'object' || current === null || !(name in current)) return undefined
  const value = (current as Record<string, unknown>)[name]
  if (value === null) return ''
  return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean' ? String(value) : undefined
}

/** The message at a field, and what is stored now on a stale page. */
export function FieldError({ field, storedWords }: { field: FieldState; storedWords?: string | undefined }) {
  return (
    <>
      {field.error && <p class="field-error" id={`${field.id}-error`}>{field.error}</p>}
      {field.stored !== undefined && (
        <p class="field-stored" id={`${field.id}-stored`}>Stored meanwhile: <b>{storedWords ?? (field.stored === '' ? 'nothing' : field.stored)}</b></p>
      )}
    </>
  )
}

/** Heads a form that was refused: what is wrong, with links to the fields. Forms show it by themselves. */
export function ErrorSummary({ refusal, formId }: { refusal: FormRefusal; formId?: string }) {
  const fields = Object.entries(refusal.fields ?? {})
  const isStale = refusal.status === 409
  return (
    <div class="error-summary" role="alert" tabIndex={-1}>
      <p><b>{refusal.message}</b></p>
      {fields.length > 0 && (
        <ul>
          {fields.map(([name, text]) => <li key={name}>{formId ? <a href={`#${idOf(formId, name)}`}>{text}</a> : text}</li>)}
        </ul>
      )}
      {isStale && <p>What you typed is still here, with what is stored now beside it. Send it again to put yours in its place.</p>}
    </div>
  )
}
