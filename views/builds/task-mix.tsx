import type { TaskMix } from '../../src/features/builds/queries/task-mix.ts'
import {
  BatchForm, BatchTable, ButtonLink, Caution, format, MixForm, MixingCard, NoSystem, Notice, Sheet, usePage, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'

export type TaskMixProps = TaskMix & { query: string; logged?: { refusal: FormRefusal; typed: Typed } | undefined }

/** A coat's mixing card: what it needs still, split into batches; each is booked from here. */
export function TaskMixPage({ build, task, needs, need, shown, lots, structural, form, asked, minors, members, batches, query, logged }: TaskMixProps) {
  const page = usePage()
  const { club } = page
  const mass = (mg: number) => format.stockAmount(mg, 'g', club)
  const at = `/builds/${build.id}/tasks/${task.id}`
  const first = shown?.card.masses[0]
  return (
    <BuildLayout build={build} title={`Mix for ${task.name}`} more={[{ href: at, text: task.name }]}>
      {task.caution !== '' && !isSaid(task.caution, shown?.source.hazard ?? '') && <Caution>{task.caution}</Caution>}
      {minors.length > 0 && <Caution>{`${minors.join(', ')} ${minors.length === 1 ? 'is' : 'are'} under age: grown-ups mix, and uncured resin is not for them without the supervision that local rules ask for.`}</Caution>}
      {needs.map((n) => (
        <p key={n.productId}>
          {n.name} ({n.materials}): needs {mass(n.needMg)}
          {n.mixedMg > 0 && <>, {mass(n.mixedMg)} mixed, {n.leftMg > 0 ? <b>{mass(n.leftMg)} left</b> : 'nothing left'}</>}.
          {need !== null && n.productId !== need.productId && <> <a href={`${at}/mix?product=${n.productId}`}>Its card</a></>}
        </p>
      ))}
      {needs.length === 0 && <Notice><p>No material of this task is a mixed mass of a product, so the card has no need to start from: type one.</p></Notice>}
      {task.isFinished && <Notice><p>The task is finished; a batch can still be booked for it.</p></Notice>}
      {shown && <MixingCard shown={shown} />}
      {shown && first && shown.source.productId !== null && page.may('builds.log') && (
        <div class="no-print">
          <Sheet title={shown.card.lines.length === 1 ? 'The batch' : `The next batch, ${shown.card.lines.length} to go`}>
            {lots === null ?
              <NoSystem name={shown.source.name} />
            : <BatchForm action={`${at}/mix${query}`} productId={shown.source.productId} lots={lots} next={{ resinMg: first.a, hardenerMg: first.b }} structural={structural} title="Mixed: book it" members={members} refusal={logged?.refusal} typed={logged?.typed} />}
          </Sheet>
        </div>
      )}
      <div class="no-print">
        <Sheet title="Another mass, another way" actions={query === '' ? undefined : <ButtonLink href={`${at}/mix`}>Back to the need</ButtonLink>}>
          <MixForm
            action={`${at}/mix`} {...form} mayType={false} massHint={need ? `The task needs ${mass(need.needMg)}; ${mass(need.leftMg)} are left to mix` : 'Grams, or with its unit: 1.25 kg'}
            refusal={asked?.refusal} typed={asked?.typed}
          />
        </Sheet>
        {batches.length > 0 && <Sheet title="Mixed for this task"><BatchTable batches={batches} caption="Batches, the latest first" /></Sheet>}
      </div>
    </BuildLayout>
  )
}

/** A list's caution and a product's often say the same, in other words after the first few. */
const isSaid = (caution: string, hazard: string): boolean => hazard !== '' && caution.slice(0, 24) === hazard.slice(0, 24)
