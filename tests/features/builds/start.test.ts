import { describe, expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { started, startFields, words } from './support.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })

describe('starting a build from the dinghy list', () => {
  test('every page of a started build shows', async () => {
    const builder = await club.signedIn(['builder'])
    expect((await builder.get('/builds')).statusCode).toBe(200)
    expect((await builder.get('/builds/new')).statusCode).toBe(200)
    expect(words((await builder.get('/builds/new/sailing-dinghy')).body)).toContain('Work out the rest')
    const id = await started(club, builder)
    const task = await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'precoat-2' } })
    for (const path of ['', '/started', '/edit', '/team', '/pause', '/measurements', '/holds', '/tasks/new', `/tasks/${task.id}`, `/tasks/${task.id}/edit`, `/tasks/${task.id}/split`]) {
      const page = await builder.get(`/builds/${id}${path}`)
      expect(page.statusCode, path + words(page.body).slice(0, 600)).toBe(200)
    }
  })
})
