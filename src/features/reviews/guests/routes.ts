import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { GuestBoardPage } from '../../../../views/reviews/guest-board.tsx'
import { GuestGone } from '../../../../views/reviews/guest-gone.tsx'
import { GuestWeek } from '../../../../views/reviews/guest-week.tsx'
import { Guests, type GuestsProps } from '../../../../views/reviews/guests.tsx'
import { timeWords } from '../../../../views/shared/times.ts'
import { isDate } from '../../../core/calendar/index.ts'
import type { Deps } from '../../../platform/deps.ts'
import { failures, found, type FailureCode } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { qrSquares } from '../../../platform/qr.ts'
import { baseAddress } from '../../../platform/request.ts'
import { localDate, toInstant } from '../../../platform/times.ts'
import { write } from '../../../platform/write.ts'
import { buildHead } from '../../builds/public.ts'
import { signedReviews } from '../week/queries/review.ts'
import { guestBoard } from './board.ts'
import { changeLink, makeLink, noteSeen, withdrawLink } from './commands.ts'
import type { AskedLink, OpenLink } from './model.ts'
import { photoFor } from './photos.ts'
import { askLink, isLinkOf, linksOf } from './queries.ts'
import { guestReview } from './review.ts'
import { ChangeLinkForm, NewLinkForm } from './schemas.ts'
import { handOver, newSecret, takeOver } from './secret.ts'

const SHARE = { config: { may: 'reviews.share' } }
const SEE = { config: { may: 'guests.see' } }
const idOf = (req: FastifyRequest): string => found(req.build).id

/** For her team: links are made, changed and withdrawn. */
export function guestLinkRoutes(app: FastifyInstance, { db, clock, config }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, sent: Pick<GuestsProps, 'refusal' | 'typed' | 'linkId'> = {}) => {
    const [buildId, today] = [idOf(req), localDate(found(req.club).zone, clock.now())]
    const secret = sent.refusal ? null : takeOver(req, reply, buildId)
    const address = secret !== null && (await isLinkOf(db, buildId, secret)) ? `${baseAddress(req, config)}/guests/${secret}` : null
    const fresh = address === null ? null : { address, qr: qrSquares(address), isLocal: /^https?:\/\/(localhost|127\.|\[::1\])/.test(address) }
    return reply.view(Guests, { build: await buildHead(db, buildId), links: await linksOf(db, buildId, today), fresh, today, ...sent }, { status: sent.refusal?.status ?? 200 })
  }
  const linkIdOf = (req: FastifyRequest) => (req.params as { linkId: string }).linkId

  app.get('/builds/:buildId/guests', SHARE, (req, reply) => page(req, reply))
  app.post('/builds/:buildId/guests', SHARE, (req, reply) => {
    const secret = newSecret()
    return write(req, reply, {
      schema: NewLinkForm,
      run: async (tx, ctx, input) => {
        const made = await makeLink(tx, ctx, idOf(req), input, secret)
        if (made.ok) handOver(req, reply, idOf(req), secret)
        return made
      },
      refused: (refusal, typed) => page(req, reply, { refusal, typed }),
    })
  })
  app.post('/builds/:buildId/guests/:linkId', SHARE, (req, reply) =>
    write(req, reply, {
      schema: ChangeLinkForm, run: (tx, ctx, input) => changeLink(tx, ctx, idOf(req), linkIdOf(req), input),
      refused: (refusal, typed) => page(req, reply, { refusal, typed, linkId: linkIdOf(req) }),
    }))
  app.post('/builds/:buildId/guests/:linkId/withdraw', SHARE, (req, reply) =>
    write(req, reply, {
      schema: Nothing, run: (tx, ctx) => withdrawLink(tx, ctx, idOf(req), linkIdOf(req)),
      refused: (refusal) => page(req, reply, { refusal, linkId: linkIdOf(req) }),
    }))
}

/** For whoever has a link. */
export function guestRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const gone = (reply: FastifyReply, code: FailureCode, more = '', back?: string) => {
    const [status, title, text] = failures[code]
    return reply.view(GuestGone, { title, text: `${more}${text}`, back }, { status })
  }
  const closed = (req: FastifyRequest, reply: FastifyReply, asked: Exclude<AskedLink, { is: 'open' }>) => {
    const times = timeWords(req.club, clock.now())
    if (asked.is === 'withdrawn') return gone(reply, 'guest-withdrawn', `The club withdrew it on ${times.day(toInstant(asked.on))}. `)
    if (asked.is === 'over') return gone(reply, 'guest-over', `Its last day was ${times.day(Date.parse(`${asked.on}T12:00:00Z`) / 60_000)}. `)
    return gone(reply, 'guest-unknown')
  }
  /** Nothing of these pages is kept anywhere, found by searching, or told to the page they lead to. */
  const open = async (req: FastifyRequest, reply: FastifyReply, show: (link: OpenLink, at: string) => Promise<unknown>) => {
    reply.header('x-robots-tag', 'noindex, nofollow, noarchive').header('referrer-policy', 'no-referrer').header('cache-control', 'no-store')
    const { token } = req.params as { token: string }
    const asked = req.club ? await askLink(db, token, req.club.zone, clock.now()) : { is: 'unknown' as const }
    return asked.is === 'open' ? show(asked.link, `/guests/${token}`) : closed(req, reply, asked)
  }
  /** Members look at what they give away: that is no guest. */
  const seen = async (req: FastifyRequest, link: OpenLink) => {
    if (req.member === null) await noteSeen(db, link.id, clock.now())
  }

  app.get('/guests/:token', SEE, (req, reply) =>
    open(req, reply, async (link, at) => {
      await seen(req, link)
      return reply.view(GuestBoardPage, { ...(await guestBoard(db, link, clock.now(), found(req.club))), at })
    }))

  app.get('/guests/:token/weeks/:monday', SEE, (req, reply) =>
    open(req, reply, async (link, at) => {
      await seen(req, link)
      const { monday } = req.params as { monday: string }
      const review = isDate(monday) ? await guestReview(db, link, monday, clock.now()) : null
      if (review === null) return gone(reply, 'guest-nothing', '', at)
      const weeks = (await signedReviews(db, link.buildId)).map((w) => w.monday)
      const here = weeks.indexOf(monday)
      return reply.view(GuestWeek, { review, shows: link.shows, at, before: weeks[here - 1] ?? null, after: weeks[here + 1] ?? null })
    }))

  app.get('/guests/:token/photos/:photoId/:size', SEE, (req, reply) =>
    open(req, reply, async (link, at) => {
      const { photoId, size } = req.params as { photoId: string; size: string }
      const file = await photoFor(db, link, photoId, size)
      if (!file) return gone(reply, 'guest-nothing', '', at)
      return reply.header('content-type', file.type).send(file.bytes)
    }))
}
