import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { WeekNotYet } from '../../../../views/reviews/week-not-yet.tsx'
import { WeekReview, type WeekReviewProps } from '../../../../views/reviews/week.tsx'
import { WeekReviews } from '../../../../views/reviews/week-list.tsx'
import { addDays, isDate } from '../../../core/calendar/index.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write } from '../../../platform/write.ts'
import { saveDraft, signReview } from './commands.ts'
import { mondayOf } from './facts/weeks.ts'
import { signingOf } from './queries/signing.ts'
import { reviewList, reviewOf } from './queries/review.ts'
import { ReviewForm } from './schemas.ts'

const VIEW = { config: { may: 'reviews.view' } }
const idOf = (req: FastifyRequest): string => found(req.build).id
const dayOf = (req: FastifyRequest): string => {
  const { monday } = req.params as { monday: string }
  return found(isDate(monday) ? monday : null)
}

export function weekRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, sent: Pick<WeekReviewProps, 'refusal' | 'typed'> = {}) => {
    const [buildId, monday, now] = [idOf(req), dayOf(req), clock.now()]
    const { build, isoWeek, notYet, isWeek, hasBegun, hasNext } = await signingOf(db, buildId, monday, now)
    const status = sent.refusal?.status ?? 200
    const review = isWeek && hasBegun ? await reviewOf(db, buildId, monday, now) : null
    if (review === null) return reply.view(WeekNotYet, { build, isoWeek, says: notYet ?? '', ...sent }, { status })
    return reply.view(WeekReview, { review, notYet, before: review.no > 1 ? addDays(monday, -7) : null, after: hasNext ? addDays(monday, 7) : null, ...sent }, { status })
  }

  app.get('/builds/:buildId/reviews', VIEW, async (req, reply) => reply.view(WeekReviews, await reviewList(db, idOf(req), clock.now())))

  app.get('/builds/:buildId/reviews/:monday', VIEW, async (req, reply) => {
    const day = dayOf(req)
    // Any day of a week leads to its page.
    return mondayOf(day) === day ? page(req, reply) : reply.redirect(`/builds/${idOf(req)}/reviews/${mondayOf(day)}`, 303)
  })

  app.post('/builds/:buildId/reviews/:monday', { config: { may: 'reviews.edit' } }, (req, reply) =>
    write(req, reply, {
      schema: ReviewForm,
      run: (tx, ctx, { sign, ...input }) => (sign ? signReview : saveDraft)(tx, ctx, { buildId: idOf(req), monday: dayOf(req), ...input }),
      refused: (refusal, typed) => page(req, reply, { refusal, typed }),
    }))
}
