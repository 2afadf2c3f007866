import { walkWithAxe } from '../support/axe-walk.ts'
import { DESK, PHONE } from '../support/browser.ts'

// One page of every other kind in one of two ways, by turns; the long run looks at all of them in all four.
await walkWithAxe([{ width: PHONE, scheme: 'light' }, { width: DESK, scheme: 'dark' }], { byTurns: true })
