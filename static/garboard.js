// The little that pages gain from script; each of them works without.

document.addEventListener('click', (event) => {
  if (event.target instanceof Element && event.target.closest('[data-print]')) window.print()
})

// A page that others may be changing says so when they have; it is not exchanged under somebody's hands.
let stream = null
const listen = () => {
  const news = document.querySelector('[data-live]')
  if (!news) {
    stream?.close()
    stream = null
    return
  }
  stream ??= new EventSource('/events')
  stream.addEventListener('changed', show)
}
const show = ({ data }) => {
  const news = document.querySelector('[data-live]')
  if (news && (data === '*' || news.dataset.live.split(' ').includes(data))) news.hidden = false
}

// A list's file is read into the field that takes it pasted: only forms are sent.
document.addEventListener('change', async ({ target }) => {
  const field = target.closest?.('[data-into]')
  const [file] = field ? (target.files ?? []) : []
  const into = file && target.form?.elements[field.dataset.into]
  if (into) into.value = await file.text()
})

const ready = () => {
  for (const field of document.querySelectorAll('[data-into]')) field.hidden = false
  for (const button of document.querySelectorAll('[data-print]')) button.hidden = false
  for (const hint of document.querySelectorAll('.print-hint')) hint.hidden = true
  listen()
}

// htmx puts the next page in without loading one: say so to those who hear it, as a browser would.
document.addEventListener('htmx:afterSettle', (event) => {
  ready()
  if (event.detail?.boosted !== true && event.target !== document.body) return
  const first = document.querySelector('.error-summary') ?? document.getElementById('content')
  first?.focus({ preventScroll: !first.classList.contains('error-summary') })
})

ready()
