import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hideMoney } from '../../../src/features/reviews/guests/hide-money.ts'
import { hideDeep, nameHider } from '../../../src/features/reviews/guests/hide-names.ts'
import { phraseHider } from '../../../src/features/reviews/guests/hide-phrases.ts'

const hide = nameHider(['Ann-Kathrin Müller', 'Ben Wood', 'Will de Vries', 'Zoë'])

describe('names in own words', () => {
  test.each([
    ['Ann-Kathrin glued the keel', 'somebody glued the keel'],
    ['Ann and BEN', 'somebody and somebody'],
    ['Müller’s clamps, ben\'s saw', 'somebody’s clamps, somebody\'s saw'],
    ['Zoe\u0308 painted', 'somebody painted'],
    ['Ben Wood came, Wood left', 'somebody came, somebody left'],
  ])('%s → %s', (text, said) => {
    expect(hide(text)).toBe(said)
  })

  test.each(['Annual check of the bend', 'we will sand the wood', 'de-wax it', 'Benches', 'the vries'.slice(0, 3)])('what only looks like one stays: %s', (text) => {
    expect(hide(text)).toBe(text)
  })

  test('the boat keeps her name where a member has the same', () => {
    expect(nameHider(['Rosa Lind'], ['Rosa'])('Rosa: Lind sanded Rosa')).toBe('Rosa: somebody sanded Rosa')
  })

  test('whatever a name is made of, nothing of it is left as a word', () => {
    const part = fc.stringMatching(/^\p{Lu}\p{Ll}{1,8}$/u)
    fc.assert(
      fc.property(part, part, fc.array(fc.string({ maxLength: 12 })), (first, last, around) => {
        const name = `${first} ${last}`
        const text = around.concat('').join(` ${name}, ${last} and ${first.toUpperCase()} `)
        const words = nameHider([name])(text).normalize('NFC').split(/[^\p{L}\p{M}\p{N}]+/u)
        for (const gone of [first, last, first.toUpperCase()]) expect(words).not.toContain(gone.normalize('NFC'))
      }),
      { numRuns: 150 },
    )
  })
})

describe('money in own words', () => {
  test.each([
    ['it cost € 120, sails 1,200.50 EUR', 'it cost a sum, sails a sum'],
    ['saved us 30 euros.', 'saved us a sum.'],
    ['$5 and 12k SEK', 'a sum and a sum'],
    ['5-10 € each, £1 200 in all; 40 pounds, she says', 'a sum each, a sum in all; a sum, she says'],
  ])('%s → %s', (text, said) => {
    expect(hideMoney(text)).toBe(said)
  })

  test.each(['20 pounds of glass, 3 coats', '6 mm ply, 12:30', 'a 45 degree edge', '2 kg'])('other figures stay: %s', (text) => {
    expect(hideMoney(text)).toBe(text)
  })
})

test('names are taken out however deep they lie, and codes stay codes', () => {
  const review = { facts: { done: [{ craft: 'wood', key: 'Wood', name: 'Wood’s rail' }], at: new Date(0), n: 1, none: null } }
  expect(hideDeep(review, hide)).toEqual({ facts: { done: [{ craft: 'wood', key: 'Wood', name: 'somebody’s rail' }], at: new Date(0), n: 1, none: null } })
})

test('a phrase is hidden as whole words, however they are spaced, and in no other word', () => {
  const hidePhrases = phraseHider(['Sand', 'Mend the void'], 'some mending')
  expect(hidePhrases('Sandra did sand, then MEND  the\nvoid; sandpaper was short')).toBe('Sandra did some mending, then some mending; sandpaper was short')
})
