import { walkWithAxe } from '../support/axe-walk.ts'
import { DESK, PHONE } from '../support/browser.ts'

// Each page in one of two ways, by turns; the long run looks at each in all four.
await walkWithAxe([{ width: PHONE, scheme: 'light' }, { width: DESK, scheme: 'dark' }], { byTurns: true })
