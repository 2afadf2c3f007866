import { walkWithAxe } from '../support/axe-walk.ts'
import { LOOKS } from '../support/browser.ts'

await walkWithAxe(LOOKS)
