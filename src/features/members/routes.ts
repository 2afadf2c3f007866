import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'
import club from './routes/club.ts'
import competences from './routes/competences.ts'
import me from './routes/me.ts'
import members from './routes/members.ts'
import signIn from './routes/sign-in.ts'

export default async function routes(app: FastifyInstance, deps: Deps): Promise<void> {
  signIn(app, deps)
  members(app, deps)
  competences(app, deps)
  me(app, deps)
  club(app, deps)
}
