import type { ComponentChildren } from 'preact'
import { usePage } from './page-context.ts'

/** main: what the page is for; plain: anything else; care: takes something away. */
export type ButtonKind = 'main' | 'plain' | 'care'

export type ButtonProps = { children: ComponentChildren; kind?: ButtonKind; name?: string; value?: string | number; disabled?: boolean }

/** Sends the form it stands in; with name and value it says which of its buttons was pressed. */
export function Button({ children, kind = 'main', name, value, disabled }: ButtonProps) {
  return <button type="submit" class={`button button-${kind}`} name={name} value={value} disabled={disabled}>{children}</button>
}

/** Goes to a page. */
export function ButtonLink({ href, children, kind = 'plain' }: { href: string; children: ComponentChildren; kind?: ButtonKind }) {
  return <a class={`button button-${kind}`} href={href}>{children}</a>
}

/** Buttons side by side, wrapping where there is no room. */
export function ButtonRow({ children }: { children: ComponentChildren }) {
  return <div class="button-row">{children}</div>
}

export type TapFormProps = {
  action: string
  children: ComponentChildren
  /** What is sent beside the once-only key. */
  fields?: Record<string, string | number>
  kind?: ButtonKind
  /** Added for those who hear the page: "Mark done" needs to say what. */
  about?: string
  /** Chosen already (an answer given): shown pressed. */
  pressed?: boolean
  hx?: Record<`hx-${string}`, string>
}

/** One button that is a whole form: for logging with gloves on. */
export function TapForm({ action, children, fields = {}, kind = 'plain', about, pressed, hx = {} }: TapFormProps) {
  const page = usePage()
  return (
    <form class="tap" method="post" action={action} {...hx}>
      <input type="hidden" name="once" value={page.once()} />
      {Object.entries(fields).map(([name, value]) => <input key={name} type="hidden" name={name} value={value} />)}
      <button type="submit" class={`button button-${kind} button-tap`} aria-pressed={pressed}>
        {children}
        {about && <span class="hidden"> {about}</span>}
      </button>
    </form>
  )
}
