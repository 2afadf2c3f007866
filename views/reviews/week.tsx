import type { Review } from '../../src/features/reviews/model.ts'
import { SHOWS } from './shows.ts'
import { Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, ErrorSummary, Field, FieldGroup, Form, Layout, Notice, PrintSheet, SelectField, TextArea, usePage, weekWords, type FormRefusal, type Typed } from '../shared/index.ts'
import { SLIP_CAUSES, SLIP_WORDS } from '../shared/slip-words.ts'
import { ReviewSheet, useReviewWords } from './_review-sheet.tsx'

export type WeekReviewProps = {
  review: Review
  /** Mondays of the weeks before and after, where they can be opened. */
  before: string | null
  after: string | null
  /** Why it can't be signed yet. */
  notYet: string | null
  refusal?: FormRefusal
  typed?: Typed
}

/** One page for one week of a build: read, put into own words, signed. */
export function WeekReview(props: WeekReviewProps) {
  const { review, before, after, refusal } = props
  const page = usePage()
  const at = `/builds/${review.buildId}/reviews`
  const mayEdit = page.may('reviews.edit') && review.state !== 'signed'
  const { name } = review.facts.build
  const photoAt = (id: string) => `/builds/${review.buildId}/photos/${id}/small`
  return (
    <Layout
      title={`${name}, ${weekWords(review.isoWeek)}`} section="builds"
      above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${review.buildId}`, text: name }, { href: at, text: 'Week reviews' }]} />}
    >
      <State {...props} />
      {refusal && review.state === 'signed' && <ErrorSummary refusal={refusal} />}
      <PrintSheet lines={linesOf(review)}><ReviewSheet review={review} shows={SHOWS} photoAt={photoAt} /></PrintSheet>
      {mayEdit && <Edit {...props} photoAt={photoAt} />}
      {review.state === 'signed' && (
        <p class="muted no-print">What turned out otherwise since can go into <a href={`/builds/${review.buildId}/log`}>her log</a>: this page stays as it was signed.</p>
      )}
      <ButtonRow>
        {before && <ButtonLink href={`${at}/${before}`}>The week before</ButtonLink>}
        {after && <ButtonLink href={`${at}/${after}`}>The week after</ButtonLink>}
        <ButtonLink href={at}>All weeks</ButtonLink>
      </ButtonRow>
    </Layout>
  )
}

function State({ review, notYet }: WeekReviewProps) {
  const w = useReviewWords(review)
  if (review.state === 'signed') return null
  return (
    <div class="no-print"><Notice title={review.state === 'draft' ? `A draft, saved by ${review.draftedBy ?? 'somebody who left'}` : 'Drafted from what was logged'}>
      <p>
        {review.state === 'draft' ? 'Its figures follow the books until it is signed.' : 'Nobody has looked it over yet: its figures follow the books until it is signed.'}
        {notYet === null ? ' Put in your own words what the books can’t know, and sign it.' : ` ${notYet}`}
        {!review.facts.isOver && ` The week is under way: this is how it stood on ${w.at(review.facts.asOf)}.`}
      </p>
    </Notice></div>
  )
}

/** About how many lines it prints, so that it stays one page. */
export function linesOf({ facts, shown, edits }: Review): number {
  const long = (text: string) => Math.ceil(text.length / 95)
  const list = [facts.meant.length + facts.done.filter((d) => !d.wasMeant).length, facts.hours.length + 1, shown.slips.length, facts.coats.length, facts.used.length, facts.snags.length]
  return 18 + list.reduce((n, k) => n + (k === 0 ? 0 : k + 2.5), 0) + 2 * facts.next.length + (facts.forecast ? 2 + facts.forecast.why.length + facts.forecast.makeUp.length : 0)
    + facts.log.filter((l) => l.kind !== 'note').reduce((n, l) => n + long(l.text), 0) + long(edits.lessons) + long(edits.next) + (shown.photos.length > 0 ? 11 : 0)
}

const HEADLINE_MAX = 300

function Edit({ review, notYet, refusal, typed, photoAt }: WeekReviewProps & { photoAt(id: string): string }) {
  const { facts, edits, shown } = review
  const options = SLIP_CAUSES.map((cause) => ({ value: cause, label: SLIP_WORDS[cause] }))
  return (
    <section class="paper no-print review-edit" aria-labelledby="review-edit">
      <div class="paper-head"><h2 id="review-edit">In your own words</h2></div>
      <Form action={`/builds/${review.buildId}/reviews/${review.monday}`} version={review.version} refusal={refusal} typed={typed} label="Words and choices of this review">
        <Field name="headline" label="The week in a sentence" value={edits.headline} size="full" maxLength={HEADLINE_MAX} required={false} hint={`Empty: “${facts.headline}”`} />
        {facts.slips.map((s) => (
          <FieldGroup key={s.key} legend={`Why does “${s.name}” go on?`}>
            <input type="hidden" name="slip" value={s.key} />
            <SelectField name={`cause-${s.key}`} label="Cause" value={edits.slips[s.key]?.cause ?? ''} size="full" blank={s.cause === null ? 'The books don’t say: choose' : `By the books: ${SLIP_WORDS[s.cause]}`} options={options} />
            <Field name={`words-${s.key}`} label="In a few words" value={edits.slips[s.key]?.words ?? ''} size="full" required={false} hint={s.detail === '' ? undefined : `The books: ${s.detail}`} />
          </FieldGroup>
        ))}
        <TextArea name="next" label="About next week" value={edits.next} rows={2} required={false} hint="What to bring, whom to ask, what else to know" />
        <TextArea name="lessons" label="Learnt or decided" value={edits.lessons} rows={3} required={false} hint="Beside what her log has of the week" />
        {facts.photos.length > 0 && (
          <FieldGroup legend="Photos on the page, at most four" name="photos">
            <input type="hidden" name="choose" value="yes" />
            <div class="review-choose">
              {facts.photos.map((p) => (
                <CheckField
                  key={p.id} name="photos" value={p.id} checked={shown.photos.some((s) => s.id === p.id)}
                  label={<><img src={photoAt(p.id)} width={p.width} height={p.height} alt="" loading="lazy" /> {p.caption === '' ? 'No caption' : p.caption}</>}
                />
              ))}
            </div>
          </FieldGroup>
        )}
        {notYet === null && <p>Signed, the page keeps its figures, words and photos for good; nobody can change it then.</p>}
        <ButtonRow>
          {notYet === null && <Button name="do" value="sign">Save and sign</Button>}
          <Button name="do" value="save" kind={notYet === null ? 'plain' : 'main'}>Save the draft</Button>
        </ButtonRow>
      </Form>
    </section>
  )
}
