import type { Lever, Results, SheetOption } from '../../src/features/planning/option-sheets/model.ts'
import { DefinitionRows, Table, Tag, usePage, type Column } from '../shared/index.ts'
import { optionRows, settingWords, type Cell, type Row, type Words } from './words.ts'

type Props = { w: Words; options: readonly SheetOption[]; levers: readonly Lever[]; results: Results; taken: number | null }

/** The options side by side; where there is no room for that, each a block of its own. */
export function OptionsTable({ w, options, levers, results, taken }: Props) {
  const page = usePage()
  const rows = optionRows(w, results, { money: page.may('builds.money') })
  const columns: Column<Row>[] = [
    { key: 'what', heading: <span class="hidden">What is compared</span>, isName: true, cell: (r) => r.heading },
    ...options.map((o, n): Column<Row> => ({
      key: String(n),
      heading: <OptionHead w={w} option={o} levers={levers} isTaken={taken === n} isAsSheIs={results.options[n]?.isAsSheIs ?? false} />,
      cell: (r) => <Figure row={r} cell={r.cells[n]} />,
    })),
  ]
  return (
    <>
      <div class="options-wide"><Table caption="The options side by side" columns={columns} rows={rows} rowKey={(r) => r.key} stack={false} /></div>
      <div class="options-blocks">
        {options.map((o, n) => (
          <section key={n} class="paper">
            <h3><OptionHead w={w} option={o} levers={levers} isTaken={taken === n} isAsSheIs={results.options[n]?.isAsSheIs ?? false} /></h3>
            <DefinitionRows rows={rows.map((r) => [r.heading, <Figure key={r.key} row={r} cell={r.cells[n]} />])} />
          </section>
        ))}
      </div>
    </>
  )
}

function OptionHead({ w, option, levers, isTaken, isAsSheIs }: { w: Words; option: SheetOption; levers: readonly Lever[]; isTaken: boolean; isAsSheIs: boolean }) {
  return (
    <>
      {option.name}{isAsSheIs && <> <Tag>{isTaken ? 'as she was' : 'as she is'}</Tag></>}{isTaken && <> <Tag>taken</Tag></>}
      <small class="option-set">{settingWords(levers, option, w).join(' · ')}</small>
    </>
  )
}

function Figure({ row, cell }: { row: Row; cell: Cell | undefined }) {
  if (!cell) return null
  return (
    <>
      {cell.text}{cell.isBest && <> <Tag>{row.best}</Tag></>}
      {cell.difference !== '' && <small class="option-difference">{cell.difference}</small>}
    </>
  )
}
