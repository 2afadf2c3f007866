// The little that pages gain from script; each of them works without.
document.addEventListener('click', (event) => {
  if (event.target instanceof Element && event.target.closest('[data-print]')) window.print()
})

const ready = () => {
  for (const button of document.querySelectorAll('[data-print]')) button.hidden = false
  for (const hint of document.querySelectorAll('.print-hint')) hint.hidden = true
}

// htmx puts the next page in without loading one: say so to those who hear it, as a browser would.
document.addEventListener('htmx:afterSettle', (event) => {
  ready()
  if (event.detail?.boosted !== true && event.target !== document.body) return
  const first = document.querySelector('.error-summary') ?? document.getElementById('content')
  first?.focus({ preventScroll: !first.classList.contains('error-summary') })
})

ready()
