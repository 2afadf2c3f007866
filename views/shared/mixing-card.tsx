import { mass, number, stockAmount, temperature } from './format.ts'
import type { MixShown } from './mixing-types.ts'
import { Caution, Notice } from './notices.tsx'
import { usePage, type PageClub } from './page-context.ts'
import { PrintSheet, TickBox } from './print-sheet.tsx'
import { DefinitionRows, Table } from './table.tsx'

const UNIT = { mass: 'g', volume: 'ml', strokes: 'strokes' } as const

/** Batches to measure out one after another: one measure all through, columns that add up. */
export function MixingCard({ shown }: { shown: MixShown }) {
  const { club } = usePage()
  const { card, source } = shown
  const unit = UNIT[card.measure]
  const n = (v: number) => number(card.measure === 'strokes' ? v : v / 1000, club, 3)
  return (
    <PrintSheet foot={<Cautions shown={shown} />} lines={card.lines.length + 14}>
      <h2>{source.name}: {mixWords(shown, club)}</h2>
      <Table
        caption={`Measure out by ${card.measure === 'strokes' ? 'whole pump strokes' : card.measure}, one batch after another`} stack={false}
        rows={card.lines.map((line, at) => ({ ...line, at: at + 1 }))} rowKey={(row) => String(row.at)}
        columns={[
          { key: 'at', heading: 'Batch', cell: (row) => <><TickBox />{row.at}</> },
          { key: 'a', heading: `Resin, ${unit}`, numeric: true, cell: (row) => n(row.a) },
          { key: 'b', heading: `Hardener, ${unit}`, numeric: true, cell: (row) => n(row.b) },
          { key: 'total', heading: `Both, ${unit}`, numeric: true, cell: (row) => n(row.total) },
        ]}
        foot={<tr><th scope="row">All</th><td class="numeric">{n(card.sum.a)}</td><td class="numeric">{n(card.sum.b)}</td><td class="numeric">{n(card.sum.total)}</td></tr>}
      />
      <p>{bindsWords(shown, club)}</p>
      {card.measure !== 'mass' && <p>Together that weighs {stockAmount(card.gives.total, 'g', club)} ({stockAmount(card.gives.a, 'g', club)} of resin, {stockAmount(card.gives.b, 'g', club)} of hardener); asked were {stockAmount(shown.asked, 'g', club)}.</p>}
      {card.measure === 'mass' && card.gives.total !== shown.asked && <p>Asked were {stockAmount(shown.asked, 'g', club)}; the scale’s step makes it {stockAmount(card.gives.total, 'g', club)}.</p>}
      {card.offRatio > 0.02 && <Notice kind="care">By these steps a batch is up to {number(card.offRatio * 100, club, 1)} % off the ratio. What the data sheet allows counts.</Notice>}
      <DefinitionRows
        rows={[
          ['Resin', source.resin === 'Resin' ? null : source.resin],
          ['Hardener', source.hardener === 'Hardener' ? null : source.hardener],
          ['Mix ratio', ratioWords(shown, club)],
          ['Pot life', potWords(shown, club)],
          ['Now', nowWords(shown, club)],
        ]}
      />
    </PrintSheet>
  )
}

const mixWords = ({ card, asked }: MixShown, club: PageClub | null) => `${stockAmount(asked, 'g', club)} in ${card.lines.length === 1 ? 'one batch' : `${card.lines.length} batches`}`

function bindsWords({ card, limitMg, people, minutes, source }: MixShown, club: PageClub | null): string {
  const most = mass(card.most / 1000, club)
  const hands = people === 1 ? 'one person' : `${people} people`
  switch (card.binds) {
    case 'one-batch': return `One batch is enough: up to ${most} may be mixed at once.`
    case 'mass': return `Fewer batches would be larger than ${mass(limitMg / 1000, club)}, the most that is mixed at once.`
    case 'pot-life': return `Fewer would not be used up in time: in the pot life of ${number(source.potLife?.minutes ?? 0, club)} min, ${hands} at ${number(minutes ?? 0, club)} min for a largest batch get through ${most}.`
  }
}

function ratioWords({ ratio, perHundred, card, stroke }: MixShown, club: PageClub | null): string {
  const label = `${number(ratio.a, club, 3)} : ${number(ratio.b, club, 3)} by ${ratio.by}, as the data sheet says`
  const weighed = ratio.by === 'volume' ? `; that is 100 : ${number(perHundred, club, 2)} by mass` : ''
  const pumped = card.measure === 'strokes' && stroke !== null ? '. The pumps have the ratio built in: count strokes as above, not by the ratio' : ''
  return `${label}${weighed}${pumped}.`
}

function potWords({ source: { potLife }, card }: MixShown, club: PageClub | null): string | null {
  if (potLife === null) return null
  const of = potLife.massG === null ? '' : ` for ${mass(potLife.massG, club)}`
  const at = potLife.temp === null ? '' : ` at ${temperature(potLife.temp, club)}`
  const larger = card.abovePotLifeMass ? ' These batches are larger than that, so they go off sooner; by how much no data sheet tells. Pour each out flat at once.' : ' A larger pot goes off sooner; by how much no data sheet tells.'
  return `${number(potLife.minutes, club)} min${of}${at}, as the data sheet states it.${larger}`
}

function nowWords({ source: { potLife }, potNow }: MixShown, club: PageClub | null): string | null {
  if (potLife === null || potNow === null) return null
  const time = number(Math.floor(potLife.minutes / potNow.rate), club, 0)
  const air = temperature(potNow.air, club)
  const times = `about ${time} min for the same mass, where resin and hardener are as warm as the air`
  return potNow.rate > 1 ?
    `${air} in ${potNow.place}, warmer than the data sheet’s: ${times}. Mix less at a time, or be quicker.`
  : `${air} in ${potNow.place}: ${times}. Do not count on more than the data sheet’s.`
}

// 100 g in a pot: 400 °F = 204 °C, vapour, hardener with sawdust: an epoxy formulator's safety page (read). Skin: HSE RR79 (read).
function Cautions({ shown: { source } }: { shown: MixShown }) {
  return (
    <Caution>
      <p>Mixed resin heats itself: 100 g left in a pot can reach 200 °C and gives off harmful vapour. Spread it or pour it out flat at once. Never bin it warm: leftovers stand outside on bare ground until cold. Hardener on sawdust can catch fire by itself.</p>
      {/skin/i.test(source.hazard) ? null : <p>Uncured resin and hardener can make skin and airways allergic for good: the gloves that the data sheet names, air, no solvent on skin.</p>}
      {source.hazard !== '' && <p>{source.hazard}</p>}
      <p>Not for people under age without the supervision that local rules ask for.</p>
      <p>A fresh cup and stick for each batch; stir long and scrape the sides. If the ratio was missed, do not use it.</p>
    </Caution>
  )
}
