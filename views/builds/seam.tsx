import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { SeamFormModel } from '../../src/features/builds/queries/geometry-forms.ts'
import {
  Button, ButtonRow, Caution, CheckField, DefinitionRows, Field, FieldGroup, Form, format, Notice, NumberField, SelectField, Sheet, usePage,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { CourseChart, perRun, runWords, tapeWords } from './_course.tsx'
import { ORIGIN_WORDS } from './_estimate-words.ts'
import { GetButton, Insist, PartPage, StructureCaution } from './_measure-parts.tsx'

export type SeamProps = { build: BuildHead; model: SeamFormModel; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function SeamPage(props: SeamProps) {
  const { build, model, refusal } = props
  return (
    <PartPage
      build={build} facts={model.facts} what="seam" storedVersion={model.storedVersion} isRefused={refusal !== undefined}
      form={<SeamForm {...props} />}
    >
      <Now {...props} />
    </PartPage>
  )
}

function Now({ model }: SeamProps) {
  const { club } = usePage()
  const { sums, facts, isTyped } = model
  if (!sums) return null
  const sure = (isMeasured: boolean) => <span class="tag">{isTyped ? 'as typed, not saved' : ORIGIN_WORDS[isMeasured ? 'measured' : 'guess']}</span>
  return (
    <Sheet title={isTyped ? 'As typed: not saved yet' : 'What it is'}>
      <DefinitionRows
        rows={[
          ['Length', <>{format.length(sums.lengthM, club)} {sure(facts.stored?.lengthM !== undefined)}</>],
          ['Fillet', sums.filletMl === 0 ? 'none' : <>{format.volume(sums.filletMl, club)} before gaps and waste, {runWords(sums.filletMl / sums.lengthM, club)} {perRun(club)} on average {sure(facts.stored?.radiusMm !== undefined && facts.stored.anglesDeg !== undefined)}</>],
          ...sums.tapes.map((t, i) => [`Tape ${i + 1}`, <>{format.length(t.lengthM, club)} ({tapeWords(t, club)})</>] as const),
        ]}
      />
      <CourseChart name={facts.name} angles={model.course} sections={sums.sectionsMm2} />
    </Sheet>
  )
}

function SeamForm({ build, model, refusal, typed }: SeamProps) {
  const { facts, values, words } = model
  const { club } = usePage()
  const v = (name: string) => values[name] ?? ''
  const back = (isMeasured: boolean, guess: string | null) => (facts.isOwn ? undefined : isMeasured ? (guess === null ? undefined : `Empty: back to ${guess}`) : 'A guess until you change it')
  return (
    <Form action={`/builds/${build.id}/seams/${facts.key}`} refusal={refusal} typed={typed} version={refusal?.status ? model.storedVersion : model.version}>
      <Sheet title="Length and fillet">
        {facts.isOwn && <Field name="name" label="Name" value={v('name')} required maxLength={60} />}
        <NumberField
          name="length" label="Length" value={v('length')} unit={words.length}
          hint={back(facts.stored?.lengthM !== undefined, facts.guess && format.length(facts.guess.lengthM, club))}
        />
        <NumberField
          name="radius" label="Radius of the fillet" value={v('radius')} unit={words.small}
          hint={back(facts.stored?.radiusMm !== undefined, facts.guess && format.small(facts.guess.radiusMm, club)) ?? '0 for no fillet'}
        />
      </Sheet>
      <Sheet title="Inside angle, fore to aft">
        <FieldGroup legend="Angles at equal steps" hint="Between the two panels, on the side of the fillet; 180° is flat. One figure alone: the same all along. Up to nine.">
          {Array.from({ length: model.angles }, (_, i) => <NumberField key={i} name={`angle.${i}`} label={i === 0 ? '1 (fore)' : String(i + 1)} value={v(`angle.${i}`)} unit={words.angle} />)}
        </FieldGroup>
      </Sheet>
      <Sheet title="Tapes">
        <p>Empty a row to take its tape off. The overlap is added to each layer, for its ends and joins.</p>
        <StructureCaution>Fewer or lighter layers than the plans have weaken the seam: ask the designer.</StructureCaution>
        {!facts.isOwn && facts.stored?.tapes && <Notice kind="care">Changed here: the list has {facts.guess && facts.guess.tapes.length > 0 ? facts.guess.tapes.map((t) => tapeWords(t, club)).join('; ') : 'no tape'}. Ask the designer.</Notice>}
        {Array.from({ length: model.rows }, (_, i) => (
          <FieldGroup key={i} legend={`Tape ${i + 1}`}>
            <SelectField name={`side.${i}`} label="Side" value={v(`side.${i}`) || 'inside'} options={[{ value: 'inside', label: 'inside' }, { value: 'outside', label: 'outside' }]} />
            <NumberField name={`tape.${i}`} label="Width" value={v(`tape.${i}`)} unit={words.tape} />
            <NumberField name={`mass.${i}`} label="Glass" value={v(`mass.${i}`)} unit={words.areal} />
            <NumberField name={`layers.${i}`} label="Layers" value={v(`layers.${i}`)} whole />
            <NumberField name={`overlap.${i}`} label="Overlap" value={v(`overlap.${i}`)} unit={words.small} />
          </FieldGroup>
        ))}
        {!facts.isOwn && (facts.stored?.lengthM === undefined || facts.stored.anglesDeg === undefined || facts.stored.radiusMm === undefined) && (
          <CheckField name="ok" value="yes" label="Measured: length, radius and angles are as they stand here" />
        )}
        <Insist isDoubt={model.isDoubt} />
        <ButtonRow>
          <Button>{facts.key === 'new' ? 'Add it' : 'Save and work out anew'}</Button>
          <GetButton name="show" value="seam">Show what it takes first</GetButton>
          {model.rows < model.mostRows && <GetButton name="rows" value={model.rows + 2}>More tapes</GetButton>}
        </ButtonRow>
      </Sheet>
      <Caution>Fillets are mixed epoxy with wood flour or silica: gloves and sleeves; a mask while the dry filler is stirred in, and again when it is sanded.</Caution>
    </Form>
  )
}
