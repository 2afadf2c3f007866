import { ruleAbout } from '../../src/core/estimate/index.ts'
import type { ShownInput, ShownLine, ShownPart } from '../../src/features/builds/queries/estimate-page.ts'
import { DefinitionRows, format, plural, Tag, usePage } from '../shared/index.ts'
import { amountWords, inputLines, isMoved, kgWords, learntWords, moneyWords, ORIGIN_WORDS, priceWords, rangeWords, sheetWords, wasteOf } from './_estimate-words.ts'

/** What one part of the boat takes; each line opens to how it came about. */
export function EstimatePart({ part, buildId, isOpen }: { part: ShownPart; buildId: string; isOpen: boolean }) {
  const { club, may } = usePage()
  const money = may('builds.money')
  return (
    <details class="phase estimate-part" open={isOpen}>
      <summary>
        <b>{part.name}</b>{' '}
        <span class="quiet">
          {plural(part.lines.length, 'line', 'lines')}
          {part.kg.likely > 0 && <>, {kgWords(part.kg, club)}</>}
          {money && part.cents !== null && <>, {moneyWords(part.cents, club)}</>}
        </span>
      </summary>
      <div class={money ? 'estimate-head estimate-money' : 'estimate-head'} aria-hidden="true">
        <span>Line and material</span><span>Net</span><span>Waste</span><span>Together</span>{money && <span>Cost</span>}
      </div>
      <ul class="estimate-lines">
        {part.lines.map((line) => <li key={line.key}><EstimateLine line={line} buildId={buildId} money={money} /></li>)}
      </ul>
    </details>
  )
}

function EstimateLine({ line, buildId, money }: { line: ShownLine; buildId: string; money: boolean }) {
  const { club } = usePage()
  const { unit } = line
  const amount = (n: number) => `${amountWords(n, unit, club)}${counted(line)}`
  return (
    <details class="estimate-line" id={`line-${line.key}`}>
      <summary class={money ? 'estimate-row estimate-money' : 'estimate-row'}>
        <span class="estimate-name">{line.name}<span class="estimate-of"><span class="hidden">, </span>{line.material}</span></span>
        <span><span class="estimate-label">net </span>{amount(line.net.likely)}</span>
        <span>{wasteOf(line) > 0 ? <><span class="estimate-label">waste </span>{amount(wasteOf(line))}</> : <span class="estimate-none">no waste</span>}</span>
        <span><span class="estimate-label">together </span><b>{line.sheets === null ? amount(line.gross.likely) : sheetWords(line.sheets)}</b>
          {line.sheets === null && line.gross.high > line.gross.low && (
            <span class="quiet"> {amountWords(line.gross.low, unit, club)} to {amountWords(line.gross.high, unit, club)}</span>
          )}
        </span>
        {money && (
          <span>{line.cents === null ? <span class="quiet">no price known</span> : <><span class="estimate-label">cost </span>{format.money(line.cents.likely, club)}</>}</span>
        )}
        <Marks line={line} />
      </summary>
      <Why line={line} buildId={buildId} money={money} />
    </details>
  )
}

/** What is counted has no unit of its own to say what it is. */
const counted = ({ unit, rule }: Pick<ShownLine, 'unit' | 'rule'>): string => (unit !== 'pcs' ? '' : rule === 'ply' ? ' sheets' : ' pieces')

/** Said at the line, so that nobody has to open it to know. */
function Marks({ line }: { line: ShownLine }) {
  const { club } = usePage()
  const isGuess = line.inputs.some((i) => i.origin === 'guess')
  if (!isGuess && !isMoved(line.factor)) return null
  return (
    <span class="estimate-marks">
      {isGuess && <Tag>rests on a guess</Tag>} {isMoved(line.factor) && <Tag>learnt: {format.number(line.factor, club, 2)} times</Tag>}
    </span>
  )
}

function Why({ line, buildId, money }: { line: ShownLine; buildId: string; money: boolean }) {
  const { club, may } = usePage()
  const { unit } = line
  return (
    <div class="estimate-why">
      <DefinitionRows
        rows={[
          ['Rule', `${ruleAbout[line.rule].name}: ${ruleAbout[line.rule].formula}`],
          [club?.units === 'imperial' ? 'Her figures, metric' : 'With her figures', line.formula],
          ['Inputs', <ul class="estimate-inputs">{inputLines(line.inputs, club).map((i) => <li key={i.text}><InputLine {...i} buildId={buildId} /></li>)}</ul>],
          ['Net: what she keeps', rangeWords(line.net, unit, club) + counted(line)],
          ['Waste, on top', line.waste.high > 0 ? rangeWords(line.waste, unit, club) + counted(line) : 'none reckoned'],
          ['Together', line.sheets === null ? rangeWords(line.gross, unit, club) + counted(line) : `${rangeWords(line.gross, unit, club)} sheets by area; ${sheetWords(line.sheets)} to buy`],
          ['Weighs in her', line.kg.high > 0 ? kgWords(line.kg, club) : 'nothing: it wears out or is thrown away'],
          ['Learnt', line.learned === null ? 'nothing weighed yet: it is reckoned as the rule says' : learntWords(line.learned, club)],
          ['Tasks that take it', <Takers line={line} buildId={buildId} />],
          ['Drawn so far', drawnWords(line, club)],
          ['In the stores', line.tie === null ? 'not tied to anything' : <><TieName line={line} />{line.tie.isGuess && ' (a guess by its name)'}</>],
          ['Cost', !money ? null : line.cents === null ? 'no price known' : `${moneyWords(line.cents, club)}, at ${line.price === null ? '' : priceWords(line.price, club)}`],
          ['Cut from', line.sheets === null ? null : <a href={`/builds/${buildId}/layout`}>the buying layout</a>],
          ['Source', line.source],
        ]}
      />
      {may('builds.edit') && line.tie === null && <p><a href={`/builds/${buildId}/materials`}>Say what it is in the stores</a></p>}
    </div>
  )
}

function InputLine({ text, input, buildId }: { text: string; input: ShownInput; buildId: string }) {
  return (
    <>
      {text}
      {input.origin !== null && <> <span class="tag">{ORIGIN_WORDS[input.origin]}</span></>}
      {input.place !== null && (
        <>
          {' '}<a href={`/builds/${buildId}/${input.place.path}`}>{input.place.isBasis ? 'reckoned from' : input.origin === 'guess' ? 'measure' : 'look'}<span class="hidden"> {input.label}</span></a>
        </>
      )}
    </>
  )
}

const drawnWords = ({ drawn, unit, rule, tie }: ShownLine, club: ReturnType<typeof usePage>['club']): string => {
  if (drawn === null) return tie === null ? 'not known: it is not tied to the stores' : 'can’t be said in this unit'
  return drawn === 0 ? 'nothing yet' : amountWords(drawn, unit, club) + counted({ unit, rule })
}

function TieName({ line: { tie } }: { line: ShownLine }) {
  if (tie === null) return null
  return tie.is === 'item' ? <a href={`/stores/items/${tie.id}`}>{tie.name}</a> : <>{tie.name}, resin and hardener</>
}

function Takers({ line, buildId }: { line: ShownLine; buildId: string }) {
  const { club } = usePage()
  if (line.tasks.length === 0) return <>none of her tasks: it is in the estimate all the same</>
  const done = line.tasks.filter((t) => t.isDone).map((t) => t.name)
  return (
    <>
      <ul class="estimate-inputs">
        {line.tasks.map((t) => (
          <li key={t.id ?? t.name}>
            {t.id === null ? t.name : <a href={`/builds/${buildId}/tasks/${t.id}`}>{t.name}</a>}: {amountWords(t.amount.likely, line.unit, club)}{counted(line)}{t.isDone && ', finished'}
          </li>
        ))}
      </ul>
      {done.length === line.tasks.length && done.length > 1 && <span class="quiet">All of them are finished.</span>}
    </>
  )
}

