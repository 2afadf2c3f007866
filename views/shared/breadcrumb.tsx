/** The way up from here: every page above this one, outermost first. Goes into Layout's `above`. */
export function Breadcrumb({ items }: { items: readonly { href: string; text: string }[] }) {
  return (
    <nav class="crumbs" aria-label="The way here">
      <ol>
        {items.map(({ href, text }) => <li key={href}><a href={href}>{text}</a></li>)}
      </ol>
    </nav>
  )
}
