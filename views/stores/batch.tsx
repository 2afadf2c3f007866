import type { BatchLine } from '../../src/features/stores/queries/batches.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, DefinitionRows, Field, Form, format, Layout, Notice, PrintSheet, Sheet, usePage, useTimes, When, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { LabelElements } from '../shared/label.tsx'

/** A batch with its cup label: what a page prints is the label. */
export function BatchPage({ batch: b, mayUndo, refusal, typed }: { batch: BatchLine; mayUndo: boolean; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  const { club } = usePage()
  const times = useTimes()
  // A tenth of a gram is as fine as a bench scale is read.
  const mass = (mg: number) => format.stockAmount(Math.round(mg / 100) * 100, 'g', club)
  const until = b.potLife === null ? null : times.time(Math.floor(b.mixedAt.getTime() / 60_000) + Math.floor(b.potLife.minutes))
  const at = b.build && (b.task ? `/builds/${b.build.id}/tasks/${b.task.id}` : `/builds/${b.build.id}`)
  return (
    <Layout title={`Batch ${b.number}`} above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, at === null ? { href: '/stores/mix', text: 'Mixing card' } : { href: at, text: b.task?.name ?? b.build!.name }]} />}>
      {b.undone && <Notice kind="care"><p>Taken back by {b.undone.by}: {b.undone.why}</p></Notice>}
      <PrintSheet>
        <h2>{b.product.name}</h2>
        <DefinitionRows
          rows={[
            ['Mixed', <><When at={b.mixedAt} /> by {b.by}</>],
            ['For', b.build === null ? (b.chargedTo === null ? 'the club' : `${b.chargedTo}, own use`) : `${b.build.name}${b.task ? `, ${b.task.name}` : ''}`],
            ['Mass', `${mass(b.massMg)} at ${b.ratio}`],
            ...b.parts.map((p) => [p.isResin ? 'Resin' : 'Hardener', `${p.mg === null ? format.stockAmount(p.milli, p.unit, club) : mass(p.mg)} of ${p.name}, lot ${p.lot}${p.code === '' ? '' : ` (${p.code})`}`] as const),
            ['Pot life', b.potLife && `${format.number(b.potLife.minutes, club)} min${b.potLife.massG === null ? '' : ` for ${format.mass(b.potLife.massG, club)}`}${b.potLife.temp === null ? '' : ` at ${format.temperature(b.potLife.temp, club)}`}: by the data sheet until ${until}, sooner where more is in the pot or it is warmer`],
            ['Note', b.note],
          ]}
        />
        <p><b>Mixed resin: heats itself, harms skin. Do not bin it warm; leftovers stand outside until cold.</b></p>
        <LabelElements parts={b.parts.map((p) => p.label).filter((l, i, all) => all.findIndex((o) => o.id === l.id) === i)} name={b.product.name} />
        {b.product.hazard !== '' && <p>{b.product.hazard}</p>}
        <p>Set well the next day? ________________ Found by ________________</p>
      </PrintSheet>
      <div class="no-print">
        <ButtonRow>
          {b.parts.map((p) => <ButtonLink key={p.entryId} href={`/stores/lots/${p.lotId}`}>Lot {p.lot}</ButtonLink>)}
        </ButtonRow>
        {mayUndo && b.undone === null && (
          <Sheet title="Logged in error">
            <Form action={`/stores/batches/${b.id}/undo`} refusal={refusal} typed={typed}>
              <Field name="why" label="Why" required maxLength={300} size="full" hint="Resin and hardener go back into their lots in the book. What was really mixed is gone: leave it booked." />
              <Button kind="care">Take the batch back</Button>
            </Form>
          </Sheet>
        )}
      </div>
    </Layout>
  )
}
