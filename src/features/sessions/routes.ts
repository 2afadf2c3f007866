import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'
import here from './routes/here.ts'
import places from './routes/places.ts'
import series from './routes/series.ts'
import sessions from './routes/sessions.ts'
import setUp from './routes/set-up.ts'
import times from './routes/times.ts'
import tools from './routes/tools.ts'

export default async function routes(app: FastifyInstance, deps: Deps): Promise<void> {
  setUp(app, deps)
  places(app, deps)
  tools(app, deps)
  sessions(app, deps)
  series(app, deps)
  here(app, deps)
  times(app, deps)
}
