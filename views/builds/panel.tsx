import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { PanelFormModel } from '../../src/features/builds/queries/geometry-forms.ts'
import {
  Button, ButtonRow, CheckField, DefinitionRows, Field, FieldError, Form, format, NumberField, SelectField, Sheet, useField, usePage,
  type FormRefusal, type PageClub, type Typed,
} from '../shared/index.ts'
import { ORIGIN_WORDS } from './_estimate-words.ts'
import { GetButton, Insist, PartPage, StructureCaution } from './_measure-parts.tsx'
import { OutlineDrawing } from './_outline.tsx'

export type PanelProps = { build: BuildHead; model: PanelFormModel; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

const GRAIN_OPTIONS = [{ value: 'along', label: 'along its length' }, { value: 'across', label: 'across it' }, { value: 'any', label: 'as it falls' }]
const JOINT_OPTIONS = [{ value: 'scarf', label: 'scarf' }, { value: 'butt', label: 'butt with a strap' }]
const wordOf = (options: readonly { value: string; label: string }[], value: string): string => options.find((o) => o.value === value)?.label ?? value
const HOW_WORDS = { area: 'by its area', widths: 'by widths at stations', 'half-breadths': 'by half-breadths from the centre line' } as const

export function PanelPage(props: PanelProps) {
  const { build, model, refusal } = props
  return (
    <PartPage
      build={build} facts={model.facts} what="panel" storedVersion={model.storedVersion} isRefused={refusal !== undefined}
      form={<PanelForm {...props} />}
    >
      <Now {...props} />
    </PartPage>
  )
}

/** What it comes to: as stored, or as typed before it is saved. */
function Now({ model }: PanelProps) {
  const { club } = usePage()
  const { facts, shown, count, isTyped } = model
  const mayEdit = usePage().may('builds.edit')
  if (!shown.shape) return null
  const origin = isTyped ? 'as typed, not saved' : ORIGIN_WORDS[shown.outline ? 'measured' : 'guess']
  return (
    <Sheet title={isTyped ? 'As typed: not saved yet' : 'What it is'}>
      <DefinitionRows
        rows={[
          ['Area of one piece', <>{format.area(shown.shape.areaM2, club)} <span class="tag">{origin}</span></>],
          ['Pieces', count],
          ['Together', format.area(count * shown.shape.areaM2, club)],
          ['Longest × widest', `${format.small(shown.shape.lengthMm, club)} × ${format.small(shown.shape.widthMm, club)}`],
          ['Measured', shown.outline ? HOW_WORDS[shown.outline.how] : 'not yet'],
          ['Ply', facts.now && !isTyped ? plyWords(facts.now, club) : null],
        ]}
      />
      <OutlineDrawing name={facts.name} shown={shown} stations={model.stations} words={model.words} isTableOpen={!mayEdit} />
    </Sheet>
  )
}

const plyWords = ({ ply, grain, joint }: NonNullable<PanelFormModel['facts']['now']>, club: PageClub | null): string => {
  const long = wordOf(JOINT_OPTIONS, joint)
  return `${format.number(ply.thicknessMm, club, 1)} mm, grain ${wordOf(GRAIN_OPTIONS, grain)}; where it is longer than a sheet: ${long}`
}

function PanelForm({ build, model, refusal, typed }: PanelProps) {
  const { facts, values, how, words } = model
  const action = `/builds/${build.id}/panels/${facts.key}`
  const v = (name: string) => values[name] ?? ''
  const { stored, guess } = facts
  const isOther = stored?.thicknessMm !== undefined && guess !== null && stored.thicknessMm !== guess.thicknessMm
  const others = (['area', 'widths', 'half-breadths'] as const).filter((one) => one !== how)
  return (
    <Form action={action} refusal={refusal} typed={typed} version={refusal?.status ? model.storedVersion : model.version} hidden={{ how }}>
      <Sheet title="Piece and ply">
        {facts.isOwn && <Field name="name" label="Name" value={v('name')} required maxLength={60} />}
        <NumberField name="count" label="Pieces of this shape" value={v('count')} whole hint={standing(facts, stored?.count, guess?.count, String)} />
        <NumberField
          name="thickness" label="Thickness" value={v('thickness')} unit={words.sheet}
          hint={<>{standing(facts, stored?.thicknessMm, guess?.thicknessMm, (mm) => `${mm} mm`)}{isOther && <> <b>Another than the list’s: ask the designer.</b></>}</>}
        />
        <SelectField name="grain" label="Face grain" value={v('grain')} options={GRAIN_OPTIONS} />
        <SelectField name="joint" label="Where it is longer than a sheet" value={v('joint')} options={JOINT_OPTIONS} />
        {facts.isOwn ? null : <StructureCaution>Another thickness, grain or joint than the plans have changes how strong she is: ask the designer.</StructureCaution>}
      </Sheet>
      <Sheet title={`Its shape, ${HOW_WORDS[how]}`}>
        {how === 'area' ? (
          <>
            <p>Of one piece. Length and width are of the rectangle that just holds it: that is what has to fit on a sheet.{!facts.isOwn && ' Empty all three to go back to the guess.'}</p>
            <NumberField name="area" label="Area" value={v('area')} unit={words.area} />
            <NumberField name="long" label="Length" value={v('long')} unit={words.small} />
            <NumberField name="wide" label="Width" value={v('wide')} unit={words.small} />
            {!facts.isOwn && !facts.stored?.outline && <CheckField name="ok" value="yes" label="Measured, and it is as it stands here" />}
          </>
        ) : <Stations model={model} />}
        <Insist isDoubt={model.isDoubt} />
        <ButtonRow>
          <Button>{facts.key === 'new' ? 'Add it' : 'Save and work out anew'}</Button>
          <GetButton name="show" value="area">Show the area first</GetButton>
          {how !== 'area' && model.rows < model.mostRows && <GetButton name="rows" value={model.rows + 12}>More rows</GetButton>}
          {others.map((one) => <GetButton key={one} name="to" value={one}>Measure it {HOW_WORDS[one]}</GetButton>)}
        </ButtonRow>
      </Sheet>
    </Form>
  )
}

function standing(facts: { isOwn: boolean }, stored: number | undefined, guess: number | undefined, words: (n: number) => string): string | undefined {
  if (facts.isOwn) return undefined
  if (stored === undefined) return 'The list’s own until you change it'
  return guess === undefined ? undefined : `Empty: back to ${words(guess)}`
}

/** Twelve rows and more; empty ones are passed over. */
function Stations({ model }: { model: PanelFormModel }) {
  const { words, values, how } = model
  const width = how === 'half-breadths' ? 'Half-breadth' : 'Width'
  return (
    <>
      <p>
        From one end to the other, at whatever distances you measured. {how === 'half-breadths' ? 'Half-breadths are measured from the piece’s own centre line: it is twice as wide. Where two halves meet on her centre line, give the widths of one half instead.' : 'A width is measured square across the panel.'} 0 where it ends in a point. Empty rows are passed over.
      </p>
      <table class="table station-rows">
        <caption class="caption-quiet">Positions and {width.toLowerCase()}s of one piece</caption>
        <thead><tr><th scope="col">Row</th><th scope="col">Position ({words.small})</th><th scope="col">{width} ({words.small})</th></tr></thead>
        <tbody>
          {Array.from({ length: model.rows }, (_, row) => (
            <tr key={row}>
              <th scope="row">{row + 1}</th>
              <td><Cell name={`at.${row}`} label={`Position ${row + 1}, in ${words.small}`} value={values[`at.${row}`]} /></td>
              <td><Cell name={`w.${row}`} label={`${width} ${row + 1}, in ${words.small}`} value={values[`w.${row}`]} /></td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  )
}

function Cell({ name, label, value }: { name: string; label: string; value: string | undefined }) {
  const field = useField(name)
  return (
    <div class={field.error ? 'field-wrong' : undefined}>
      <input
        id={field.id} name={name} type="text" class="input input-short" inputMode="decimal" autoComplete="off" aria-label={label}
        value={field.value(value)} aria-describedby={field.describedBy(false)} aria-invalid={field.invalid}
      />
      <FieldError field={field} />
    </div>
  )
}
