import { expect } from 'vitest'
import { seedCureProducts } from '../../../src/features/stores/public.ts'
import { transact } from '../../../src/platform/database.ts'
import type { Person, TestClub } from '../../support/app.ts'

/** What the start page of the dinghy list sends, with the club's own rows where its names fit. */
export async function startFields(club: TestClub, over: Record<string, string | string[]> = {}): Promise<Record<string, string | string[]>> {
  await transact(club.db, (tx) => seedCureProducts(tx))
  const product = async (name: string) => (await club.db.cureProduct.findUniqueOrThrow({ where: { name } })).id
  const slow = await product('Epoxy, slow hardener')
  return {
    list: 'sailing-dinghy', 'm.length': '4', 'm.beam': '1.5', grade: 'good',
    name: 'Sanderling', design: 'Own design', launchTarget: '2026-12-01', priority: '1', visibility: 'club',
    'tool.Long bench': 'add', 'tool.Jigsaw': 'add', 'tool.Bandsaw': 'add', 'tool.Clamps': 'add', 'tool.Sander with extractor': 'add', 'tool.Router': 'add',
    'competence.Bandsaw': 'add', 'competence.Router': '',
    'product.epoxy': slow, 'product.glue': await product('Wood-epoxy glue, thickened'), 'product.fairing': await product('Epoxy fairing compound'),
    'product.primer': await product('One-pack primer'), 'product.topcoat': await product('One-pack enamel'), 'product.varnish': await product('Spar varnish'),
    ...over,
  }
}

/** Starts the dinghy and answers her id. */
export async function started(club: TestClub, person: Person & { memberId: string }, over: Record<string, string | string[]> = {}): Promise<string> {
  const fields = await startFields(club, { team: [person.memberId], ...over })
  const placeId = fields['placeId'] ?? (await club.make.place({ bays: 3 })).id
  const answer = await person.post('/builds/new/sailing-dinghy', { ...fields, placeId })
  expect(answer.statusCode, answer.body.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ').slice(0, 1500)).toBe(303)
  return String(answer.headers.location).split('/')[2]!
}

/** The words of a page, tags taken out. */
export const words = (html: string): string =>
  html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&quot;', '"').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
