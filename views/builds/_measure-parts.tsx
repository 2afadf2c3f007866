/** What the pages of panels, seams and plain measurements share. */
import type { ComponentChildren } from 'preact'
import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { LeftOut } from '../../src/features/builds/queries/geometry.ts'
import { ButtonRow, Caution, CheckField, ErrorSummary, Notice, Sheet, TapForm, usePage, type FormRefusal } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'

/** Offered only where all that is wrong is that it is unlikely. */
export function Insist({ isDoubt }: { isDoubt: boolean | undefined }) {
  return isDoubt ? <CheckField name="sure" value="yes" label="I looked again: it is so" hint="The unlikely figures are then taken as they are." /> : null
}

export function StructureCaution({ children }: { children: string }) {
  return <Caution defers="These pages reckon with figures; they don’t say what is strong enough. The designer’s word comes first.">{children}</Caution>
}

/** Sends the form as an address: shown again with what was typed, nothing saved. */
export function GetButton({ name, value, children }: { name: string; value: string | number; children: string | (string | number)[] }) {
  return <button type="submit" class="button button-plain" formmethod="get" name={name} value={value}>{children}</button>
}

type PartFacts = AbsentFacts & FateFacts & { key: string }
type PartPageProps = { build: BuildHead; facts: PartFacts; what: 'panel' | 'seam'; storedVersion: number; isRefused: boolean; form: ComponentChildren; children: ComponentChildren }
/** The page of one panel or seam: what it is, then its form; the form comes first where it was refused. */
export function PartPage({ build, facts, what, storedVersion, isRefused, form, children }: PartPageProps) {
  const at = `/builds/${build.id}/${what}s`
  const mayEdit = usePage().may('builds.edit')
  const more = [{ href: `/builds/${build.id}/measurements`, text: 'Measurements' }, { href: at, text: what === 'panel' ? 'Panels' : 'Seams' }]
  return (
    <BuildLayout build={build} title={facts.name} more={more}>
      <Absent facts={facts} what={what} />
      {isRefused && form}
      {children}
      {mayEdit && !isRefused && form}
      {mayEdit && facts.key !== 'new' && <Fates at={`${at}/${facts.key}`} facts={facts} version={storedVersion} />}
    </BuildLayout>
  )
}

type FateFacts = { name: string; isOwn: boolean; isLeftOut: boolean; stored: object | undefined }
/** Back to the guess, left out, taken in again; one of people's own is taken off. */
function Fates({ at, facts, version }: { at: string; facts: FateFacts; version: number }) {
  const fields = { version }
  const isMeasured = Object.keys(facts.stored ?? {}).some((key) => key !== 'leftOut')
  return (
    <div class="no-print">
      <Sheet title="Otherwise">
        {!facts.isOwn && !facts.isLeftOut && <StructureCaution>Leaving out what the plans have changes how strong she is: ask the designer.</StructureCaution>}
        <ButtonRow>
          {!facts.isOwn && isMeasured && <TapForm action={`${at}/guess`} fields={fields} about={facts.name}>Back to the guess</TapForm>}
          {facts.isLeftOut
            ? <TapForm action={`${at}/take-in`} fields={fields} about={facts.name}>Take in again</TapForm>
            : <TapForm action={`${at}/leave-out`} fields={fields} kind="care" about={facts.name}>Leave out</TapForm>}
          {facts.isOwn && <TapForm action={`${at}/remove`} fields={fields} kind="care" about={facts.name}>Take it off for good</TapForm>}
        </ButtonRow>
      </Sheet>
    </div>
  )
}

export function LeftOutSheet({ at, rows, version, mayEdit, what }: { at: string; rows: readonly LeftOut[]; version: number; mayEdit: boolean; what: string }) {
  if (rows.length === 0) return null
  return (
    <Sheet title="Left out">
      <p>These count for nothing. Leaving out a {what} that the plans have is a change of her structure: ask the designer.</p>
      <ul class="plain-list">
        {rows.map((row) => (
          <li key={row.key}>
            <a href={`${at}/${row.key}`}>{row.name}</a>
            {mayEdit && <TapForm action={`${at}/${row.key}/take-in`} fields={{ version }} about={`Take in ${row.name} again`}>Take in again</TapForm>}
          </li>
        ))}
      </ul>
    </Sheet>
  )
}

/** Why a button of a list did nothing: the list below it is as it is now. */
export function RefusedOnList({ refusal }: { refusal: FormRefusal | undefined }) {
  if (!refusal) return null
  const again = refusal.status === 409 ? ' Nothing was changed; it is shown as it is now: look again and press once more.' : ''
  return <ErrorSummary refusal={{ message: `${refusal.message}${again}` }} />
}

type AbsentFacts = { isOwn: boolean; isLeftOut: boolean; now: object | null; guess: object | null }
/** On the page of one that is left out, or that the boat hasn't got. */
function Absent({ facts, what }: { facts: AbsentFacts; what: string }) {
  if (facts.isLeftOut) return <Notice kind="care">It is left out: it counts for nothing until it is taken in again.{!facts.isOwn && ' The plans have it: ask the designer.'}</Notice>
  return !facts.isOwn && !facts.now && !facts.guess ? <Notice>By her measurements she has no such {what} now.</Notice> : null
}
