/** Takes sums of money out of own words. Pure. */

const CODE = '\\b(?:EUR|USD|GBP|CHF|SEK|NOK|DKK|ISK|PLN|CZK|HUF|AUD|NZD|CAD|JPY)\\b'
const SIGN = '(?:AU|NZ|CA|US)?\\$|[€£¥₺₽₹]'
/** Pounds of something are its weight. */
const WORD = '\\b(?:euros?|dollars?|quid|kroner|kronor|francs?|cents?|pence|pounds?(?!\\s+of\\b))\\b'
const SUM = '\\d(?:[\\d.,’\'\\u0020\\u00a0\\u202f]*\\d)?(?:\\s?k\\b)?'
const MONEY = new RegExp(`(?:${SIGN}|${CODE})\\s?-?${SUM}|(?<![\\d.,])${SUM}(?:\\s?[-–]\\s?${SUM})?\\s?(?:${SIGN}|${CODE}|${WORD})`, 'giu')

/** "€ 120", "1,200.50 EUR", "5–10 euros" become "a sum". An amount without its currency can't be told from other figures. */
export const hideMoney = (text: string): string => text.replaceAll(MONEY, 'a sum')
