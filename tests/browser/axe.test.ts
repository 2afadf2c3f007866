import { walkWithAxe } from '../support/axe-walk.ts'
import { DESK, PHONE } from '../support/browser.ts'

// Each width and each scheme once; the long run has all four together.
await walkWithAxe([{ width: PHONE, scheme: 'light' }, { width: DESK, scheme: 'dark' }])
