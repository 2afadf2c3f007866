import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { MeasureLine, MeasurementsPageModel } from '../../src/features/builds/queries/geometry.ts'
import { Button, CheckField, FieldGroup, Form, format, list, measurementGroups, Notice, RadioRow, Sheet, Table, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { EstimateLinks } from './_estimate-links.tsx'
import { ORIGIN_WORDS } from './_estimate-words.ts'
import { BuildLayout } from './_head.tsx'
import { Insist, StructureCaution } from './_measure-parts.tsx'
import { MeasurementField, MeasurementText } from './_measurements.tsx'
import { GRADES, SKILLS } from './words.ts'

export type MeasurementsProps = { build: BuildHead; model: MeasurementsPageModel; isDoubt?: boolean; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** All plain measurements of a boat, each with how sure it is, and the way to her panels and seams. */
export function Measurements({ build, model, isDoubt = false, refusal, typed }: MeasurementsProps) {
  const mayEdit = usePage().may('builds.edit')
  return (
    <BuildLayout build={build} title={`${build.name}: measurements`}>
      <EstimateLinks buildId={build.id} here="measurements" />
      {model.hasList ? (
        <p>What she takes and how long it takes is worked out from these. A guess is made from her length and beam, or is the list’s own; measure what you can, the largest first. Tasks that nobody began or changed by hand are worked out anew.</p>
      ) : (
        <p>She was not started from a standard list, so nothing is guessed: what she takes is worked out from the panels and seams that you add.</p>
      )}
      <Parts build={build} model={model} />
      {mayEdit ? <Fields build={build} model={model} isDoubt={isDoubt} refusal={refusal} typed={typed} /> : <Shown model={model} hasAnchors />}
      {mayEdit && <div class="print-only"><Shown model={model} hasAnchors={false} /></div>}
    </BuildLayout>
  )
}

function Parts({ build, model }: Pick<MeasurementsProps, 'build' | 'model'>) {
  const measured = ({ all, measured }: { all: number; measured: number }) => (all === 0 ? 'none yet' : `${measured} of ${all} measured`)
  return (
    <p>
      <a href={`/builds/${build.id}/panels`}>Panels</a>: {measured(model.panels)}. <a href={`/builds/${build.id}/seams`}>Seams</a>: {measured(model.seams)}. Areas and lengths follow from them once all that they are made of are measured.
    </p>
  )
}

function Fields({ build, model, isDoubt, refusal, typed }: MeasurementsProps) {
  const { club } = usePage()
  const resin = (skill: keyof typeof model.resin) => format.number(model.resin[skill], club, 0)
  return (
    <Form action={`/builds/${build.id}/measurements`} refusal={refusal} typed={typed} version={model.version}>
      {model.groups.map(({ key, lines }) => (
        <Sheet key={key} title={measurementGroups[key]}>
          {key === 'layers' && <StructureCaution>Ply, glass and tape carry her: ask the designer before you build with others than the plans say.</StructureCaution>}
          {lines.map((line) => <MeasurementField key={line.key} line={line} origin={<Sure line={line} buildId={build.id} />} />)}
          {(key === 'size' || key === 'areas') && lines.some((line) => line.origin === 'guess') && (
            <FieldGroup legend="Measured, and as it stands" hint="For a guess that turned out right.">
              {lines.filter((line) => line.origin === 'guess').map((line) => <CheckField key={line.key} name="ok" value={line.key} label={line.label} />)}
            </FieldGroup>
          )}
        </Sheet>
      ))}
      <Sheet title="Finish and hands">
        <RadioRow name="grade" legend="Finish" options={GRADES} value={model.grade} hint="Sets how many coats, and how long fairing takes" />
        <RadioRow
          name="skill" legend="How practised are her hands?" options={SKILLS} value={model.skill}
          hint={`100 g of glass take about ${resin('first')} g of resin on a first boat (up to ${format.number(model.resinMost, club, 0)} g), ${resin('some')} g with some experience, ${resin('practised')} g in practised hands. Practised hands leave less in the pots, too.`}
        />
        <Insist isDoubt={isDoubt} />
        <Button>Save and work out anew</Button>
      </Sheet>
    </Form>
  )
}

const sureWords = (line: MeasureLine): string => {
  if (line.def.group !== 'size' && line.def.group !== 'areas') return line.isMeasured ? 'chosen' : 'the list’s own until you choose'
  return line.def.fromSeams && line.origin === 'panels' ? 'from the seams' : ORIGIN_WORDS[line.origin]
}

/** How sure a figure is, and where it comes from. */
function Sure({ line, buildId }: { line: MeasureLine; buildId: string }) {
  const isOther = line.def.isStructural && line.isMeasured && line.value !== line.guess
  const part = line.def.fromSeams ? 'seams' : 'panels'
  return (
    <>
      <span class="tag">{sureWords(line)}</span>
      {line.from.length > 0 && line.origin === 'guess' && <> Or measure <a href={`/builds/${buildId}/${part}`}>{list(line.from.map((name) => `“${name}”`))}</a>.</>}
      {line.isMeasured && line.def.guess !== null && !line.choices && <> Empty it to go back to <MeasurementText line={{ ...line, value: line.guess }} />.</>}
      {isOther && <> <b>The list has <MeasurementText line={{ ...line, value: line.guess }} />: ask the designer.</b></>}
    </>
  )
}

/** Without fields: for whoever may only look, and on paper. */
function Shown({ model, hasAnchors }: { model: MeasurementsPageModel; hasAnchors: boolean }) {
  return (
    <>
      {model.groups.map(({ key, lines }) => (
        <Sheet key={key} title={measurementGroups[key]}>
          <Table
            caption={measurementGroups[key]} quietCaption rows={lines} rowKey={(l) => l.key} {...(hasAnchors ? { rowId: (l: MeasureLine) => `m-${l.key}` } : {})} stack
            columns={[
              { key: 'what', heading: 'What', cell: (l) => l.label },
              { key: 'value', heading: 'Figure', cell: (l) => <MeasurementText line={l} /> },
              { key: 'origin', heading: 'How sure', cell: sureWords },
            ]}
          />
        </Sheet>
      ))}
      <Notice>Finish: {GRADES.find((g) => g.value === model.grade)?.label}. Hands: {SKILLS.find((s) => s.value === model.skill)?.label}.</Notice>
    </>
  )
}
