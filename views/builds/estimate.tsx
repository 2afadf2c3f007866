import { ruleAbout } from '../../src/core/estimate/index.ts'
import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { EstimatePageModel } from '../../src/features/builds/queries/estimate-page.ts'
import { Caution, Empty, format, list, Notice, plural, sentence, Sheet, Table, usePage } from '../shared/index.ts'
import { EstimateHours } from './_estimate-hours.tsx'
import { EstimateLinks } from './_estimate-links.tsx'
import { EstimatePart } from './_estimate-lines.tsx'
import {
  amountWords, guessSentence, hoursWords, kgWords, learntWords, moneyWords, priceWords, rangeWords, sheetWords, swingWords, takesSentence, wasteOf,
} from './_estimate-words.ts'
import { BuildLayout } from './_head.tsx'

/** What she takes: sheets, cloth, resin, money, mass and hours, and how each figure came about. */
export function EstimatePage(props: EstimatePageModel) {
  const { build, parts, totals, skill } = props
  const { club, may } = usePage()
  const at = `/builds/${build.id}`
  return (
    <BuildLayout build={build} title={`What ${build.name} takes`} wide>
      <EstimateLinks buildId={build.id} here="estimate" />
      <p class="lead">{takesSentence(build.name, skill, totals, club, may('builds.money'))}</p>
      <Tiles {...props} />
      <p class="quiet">
        Each figure is likely, then from the least to the most. The ends of sums are all lows and all highs together, which never all happen.
        {' '}<a href={`${at}/estimate.csv`}>Take the lines as a list (CSV)</a>
      </p>
      <Unpriced {...props} />
      <Caution defers="Thickness, cloth, layers, joints and spans are the designer’s: ask the designer before you change one.">
        These are numbers to buy and plan by, not scantlings: nothing here says that she is strong enough.
      </Caution>
      <Guesses {...props} />
      <Learnt {...props} />
      {parts.length === 0 && (
        <Empty>
          No panel or seam of her is known yet.{may('builds.edit') && <> Start with her <a href={`${at}/panels`}>panels</a> and <a href={`${at}/seams`}>seams</a>.</>}
        </Empty>
      )}
      {parts.map((part, i) => <EstimatePart key={`${part.kind} ${part.name}`} part={part} buildId={build.id} isOpen={i === 0} />)}
      <ByMaterial {...props} />
      <ToBuy {...props} />
      <EstimateHours totals={totals} buildId={build.id} />
    </BuildLayout>
  )
}

/** Measurements that her list does not take any more: until they are put right nothing is reckoned. */
export function EstimateUnfit({ build, messages }: { build: BuildHead; messages: readonly string[] }) {
  return (
    <BuildLayout build={build} title={`What ${build.name} takes`}>
      <EstimateLinks buildId={build.id} here="estimate" />
      <Notice kind="care" title="Nothing can be reckoned yet">
        <p>Some of her measurements don’t fit her list. <a href={`/builds/${build.id}/measurements`}>Put them right</a>:</p>
        <ul>{messages.map((m) => <li key={m}>{m}</li>)}</ul>
      </Notice>
    </BuildLayout>
  )
}

function Tiles({ totals: t }: EstimatePageModel) {
  const { club, may } = usePage()
  const tiles: [string, string][] = [
    ['Sheets of plywood', t.sheetRange.high > 0 ? sheetWords(t.sheetRange) : 'none'],
    ['Glass cloth', t.clothM2.high > 0 ? rangeWords(t.clothM2, 'm2', club) : 'none'],
    ['Glass tape', t.tapeM.high > 0 ? rangeWords(t.tapeM, 'm', club) : 'none'],
    ['Mixed epoxy', t.epoxyG.high > 0 ? rangeWords(t.epoxyG, 'g', club) : 'none'],
    ...(may('builds.money') ? [['Material costs', t.cents.high > 0 ? moneyWords(t.cents, club) : 'no price known'] satisfies [string, string]] : []),
    ['Weighs in her', kgWords(t.kg, club)],
    ['Work, all hands', hoursWords(t.hours, club)],
  ]
  return (
    <dl class="tiles">
      {tiles.map(([name, value]) => {
        const [likely, ...rest] = value.split(' (')
        return <div key={name}><dt>{name}</dt><dd>{likely}{rest.length > 0 && <span class="quiet"> ({rest.join(' (')}</span>}</dd></div>
      })}
    </dl>
  )
}

function Unpriced({ build, totals: { unpriced } }: EstimatePageModel) {
  const { may } = usePage()
  if (!may('builds.money') || unpriced.length === 0) return null
  return (
    <Notice title={`No price known: ${plural(unpriced.length, 'material', 'materials')}`}>
      <p>
        {sentence(list(unpriced))} {unpriced.length === 1 ? 'It is' : 'They are'} not in the cost. A price comes from a pack of the item in the
        {' '}<a href="/stores">stores</a>, or from what the stock cost;
        {' '}<a href={`/builds/${build.id}/materials`}>what each name is in the stores</a> must be said first.
      </p>
    </Notice>
  )
}

function Guesses({ build, figures, swings }: EstimatePageModel) {
  const { club, may } = usePage()
  return (
    <Sheet title="How sure it is">
      <p>
        {guessSentence(figures, swings[0])}
        {figures.measured > 0 && ` ${figures.measured} ${figures.measured === 1 ? 'is' : 'are'} measured.`}
        {figures.panels > 0 && ` ${figures.panels} ${figures.panels === 1 ? 'comes' : 'come'} from the panels and seams.`}
      </p>
      {swings.length > 0 && (
        <ol>
          {swings.map((s) => <li key={s.label}><a href={`/builds/${build.id}/${s.path}`}>{s.label}</a>: {swingWords(s, may('builds.money'), club)}</li>)}
        </ol>
      )}
    </Sheet>
  )
}

/** A rule that the weighings move by less is not worth a line on top; each line of it says so all the same. */
const WORTH = 0.02

function Learnt({ learned }: EstimatePageModel) {
  const { club } = usePage()
  if (learned.length === 0) return null
  const moved = learned.filter((l) => Math.abs(l.factor - 1) >= WORTH)
  const agreed = learned.filter((l) => Math.abs(l.factor - 1) < WORTH)
  return (
    <Sheet title="What the club has learnt">
      <p>Finished tasks were weighed against what the rules had said{moved.length > 0 ? '. These rules are moved by it:' : ', and the rules stand.'}</p>
      {moved.length > 0 && <ul>{moved.map((l) => <li key={l.rule}>{ruleAbout[l.rule].name}: {learntWords(l, club)}.</li>)}</ul>}
      {agreed.length > 0 && <p>Within {format.percent(WORTH, club)} of the rule: {list(agreed.map((l) => ruleAbout[l.rule].name.toLowerCase()))}.</p>}
      <p><a href="/estimate-rules">All rules, and whether what was learnt is used</a></p>
    </Sheet>
  )
}

function ByMaterial({ materials, build }: EstimatePageModel) {
  const { club, may } = usePage()
  if (materials.length === 0) return null
  const money = may('builds.money')
  return (
    <Sheet title="By material">
      <Table
        caption="What she takes in all, waste and all" quietCaption rows={materials} rowKey={(m) => `${m.name} ${m.unit} ${m.tie?.id ?? ''}`} stack
        columns={[
          { key: 'name', heading: 'Material', cell: (m) => m.name },
          { key: 'amount', heading: 'In all', cell: (m) => (m.sheets === null ? rangeWords(m.gross, m.unit, club) + (m.unit === 'pcs' ? ' pieces' : '') : sheetWords(m.sheets)) },
          { key: 'waste', heading: 'Of it waste', numeric: true, cell: (m) => ((w) => (w > 0 ? amountWords(w, m.unit, club) : ''))(wasteOf(m)) },
          { key: 'drawn', heading: 'Drawn', numeric: true, cell: (m) => (m.drawn === null ? '' : m.drawn === 0 ? 'nothing yet' : amountWords(m.drawn, m.unit, club)) },
          { key: 'tie', heading: 'In the stores', cell: (m) => (m.tie === null ? 'nobody has said' : `${m.tie.name}${m.tie.isGuess ? ' (a guess by its name)' : ''}`) },
          ...(money ? [
            { key: 'price', heading: 'Price', cell: (m: (typeof materials)[number]) => (m.price === null ? '' : priceWords(m.price, club)) },
            { key: 'cost', heading: 'Cost', numeric: true, cell: (m: (typeof materials)[number]) => (m.cents === null ? 'no price known' : moneyWords(m.cents, club)) },
          ] : []),
        ]}
      />
      <p class="quiet">
        Plywood is bought in whole sheets. <a href={`/builds/${build.id}/materials`}>What each name is in the stores</a>
        {money && <> · <a href={`/builds/${build.id}/costs`}>What was drawn so far has cost</a></>}
      </p>
    </Sheet>
  )
}

function ToBuy({ toBuy, build }: EstimatePageModel) {
  const { club, may } = usePage()
  if (toBuy.length === 0) return null
  const money = may('builds.money')
  type Row = (typeof toBuy)[number]
  const amount = (milli: number, row: Row) => format.stockAmount(Math.round(milli), row.unit, club)
  const needed = (milli: number, row: Row) => format.stockNeed(Math.round(milli), row.unit, club)
  const packs = (r: Row) => (r.packs.length === 0 ? '' : `: ${list(r.packs.map((p) => `${p.count} × ${p.name}`))}`)
  const cost = (r: Row) => (r.cents === null ? 'no price known' : r.shortMilli === 0 ? '' : format.money(r.cents, club))
  return (
    <Sheet title="Still to buy for her">
      <Table
        caption="What her unfinished tasks still draw, and what is there" quietCaption rows={toBuy} rowKey={(r) => r.itemId} stack
        columns={[
          { key: 'item', heading: 'Item', cell: (r) => <a href={`/stores/items/${r.itemId}`}>{r.name}</a> },
          { key: 'left', heading: 'Still to draw', numeric: true, cell: (r) => needed(r.leftMilli, r) },
          { key: 'here', heading: 'In the stores', numeric: true, cell: (r) => amount(r.hereMilli, r) },
          { key: 'coming', heading: 'On order', numeric: true, cell: (r) => (r.comingMilli > 0 ? amount(r.comingMilli, r) : '') },
          { key: 'buy', heading: 'To buy', cell: (r) => (r.shortMilli === 0 ? 'nothing' : needed(r.shortMilli, r) + packs(r)) },
          ...(money ? [{ key: 'cost', heading: 'Costs', numeric: true, cell: cost }] : []),
        ]}
      />
      <p class="quiet">By the likely amounts. The stores are there for all builds: <a href={`/builds/${build.id}/stock`}>what of them is hers, and when</a>.</p>
    </Sheet>
  )
}
