import type { FastifyInstance, FastifyRequest } from 'fastify'
import { ClubView } from '../../../../views/members/club.tsx'
import type { Units } from '../../../../views/shared/format.ts'
import type { Deps } from '../../../platform/deps.ts'
import { write } from '../../../platform/write.ts'
import { saveClub } from '../commands/club.ts'
import { clubSettings } from '../queries/club.ts'
import { ClubForm } from '../schemas.ts'

const may = { config: { may: 'club.edit' } }

/** The units that stood beside the figures when they were typed: the same form may change the club's. */
function typedIn(req: FastifyRequest): Units {
  const { shownIn } = (req.body ?? {}) as { shownIn?: unknown }
  return shownIn === 'metric' || shownIn === 'imperial' ? shownIn : (req.club?.units ?? 'metric')
}

export default function routes(app: FastifyInstance, { db }: Deps): void {
  app.get('/club', may, async (req, reply) => reply.view(ClubView, { club: await clubSettings(db), shownIn: req.club?.units ?? 'metric' }))
  app.post('/club', may, (req, reply) => {
    const shownIn = typedIn(req)
    return write(req, reply, {
      schema: ClubForm(shownIn),
      run: saveClub,
      refused: async (refusal, typed) => reply.view(ClubView, { club: await clubSettings(db), shownIn, refusal, typed }, { status: refusal.status }),
    })
  })
}
