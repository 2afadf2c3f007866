/** Photos sent with a form: what is kept, who sees it, and what is refused. */
import { randomUUID } from 'node:crypto'
import sharp from 'sharp'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { photosOf, storePhoto } from '../../../src/features/builds/public.ts'
import { transact } from '../../../src/platform/database.ts'
import { COOKIE } from '../../../src/platform/sign-in.ts'
import { testClub, type Person } from '../../support/app.ts'
import { inParts } from '../../support/person.ts'
import { corners, picture } from '../../support/pictures.ts'
import { words } from './support.ts'

// 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
let builder: Person & { memberId: string }
let other: Person & { memberId: string }
let buildId: string
let secretId: string

beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  other = await club.signedIn(['builder'], { name: 'Cleo Loop' })
  buildId = (await club.make.build({ name: 'Skua', startedOn: new Date('2026-05-01') }, [builder.memberId])).id
  secretId = (await club.make.build({ name: 'Quiet', visibility: 'team', startedOn: new Date('2026-05-01') }, [builder.memberId])).id
})

beforeEach(async () => {
  await club.db.photo.deleteMany()
  await club.db.storedFile.deleteMany()
  await club.db.logEntry.deleteMany()
})

const log = (id = buildId) => `/builds/${id}/log`
const counts = async () => [await club.db.logEntry.count(), await club.db.photo.count(), await club.db.storedFile.count()]

describe('an entry with photos', () => {
  test('keeps both sizes, takes the day from the camera, and is not for guests unless ticked', async () => {
    const sent = await picture({ width: 900, height: 300, orientation: 6, taken: '2026:05:23 14:00:00', gps: true })
    const answer = await builder.send(log(), { text: 'The bottom is glassed' }, [{ name: 'a.jpg', bytes: sent }, { name: 'b.png', bytes: await picture({ format: 'png' }) }])
    expect([answer.statusCode, answer.headers.location]).toEqual([303, log()])
    const [camera, today] = await photosOf(club.db, buildId)
    // On its side: 900 × 300 stands 300 × 900. The second has no day of its own: the entry's.
    expect([camera!.takenOn, camera!.width, camera!.height, camera!.forGuests]).toEqual(['2026-05-23', 300, 900, false])
    expect([today!.takenOn, today!.width]).toEqual(['2026-05-30', 60])
    expect(await counts()).toEqual([1, 2, 4])
    const page = await builder.get(log())
    expect(page.body).toContain(`src="/builds/${buildId}/photos/${camera!.id}/small"`)
    const [whole, small] = [await builder.get(`/builds/${buildId}/photos/${camera!.id}`), await builder.get(`/builds/${buildId}/photos/${camera!.id}/small`)]
    expect([whole.headers['content-type'], whole.headers['x-content-type-options'], whole.headers['cache-control']]).toEqual(['image/jpeg', 'nosniff', 'private, max-age=31536000, immutable'])
    expect(await corners(whole.rawPayload)).toBe('RRBB')
    expect((await sharp(small.rawPayload).metadata()).height).toBe(400)
    expect((await sharp(whole.rawPayload).metadata()).exif).toBeUndefined()
  })

  test('on another day, photos whose camera says nothing are of that day', async () => {
    await builder.send(log(), { text: 'Found these', day: '2026-05-10', forGuests: 'on' }, [{ name: 'a.jpg', bytes: await picture({ taken: '2001:01:01 00:00:00' }) }])
    const [photo] = await photosOf(club.db, buildId)
    expect([photo!.takenOn, photo!.forGuests]).toEqual(['2026-05-10', true])
  })

  test('photos sent together stay in the order they were chosen', async () => {
    const sizes = [30, 90, 50, 70]
    await builder.send(log(), { text: 'In order' }, await Promise.all(sizes.map(async (width, n) => ({ name: `${9 - n}.jpg`, bytes: await picture({ width }) }))))
    expect((await photosOf(club.db, buildId)).map((p) => p.width)).toEqual(sizes)
  })

  test('a file field that was left empty is no photo', async () => {
    const answer = await builder.send(log(), { text: 'Words alone' }, [{ name: '', bytes: Buffer.alloc(0) }])
    expect(answer.statusCode).toBe(303)
    expect(await counts()).toEqual([1, 0, 0])
  })

  test('sent twice, and four times at once, it is booked once; a repeat needs no bytes', async () => {
    const once = randomUUID()
    const photo = { name: 'a.jpg', bytes: await picture() }
    const answers = await Promise.all(Array.from({ length: 4 }, () => builder.send(log(), { once, text: 'Once' }, [photo])))
    expect(answers.map((a) => a.statusCode)).toEqual([303, 303, 303, 303])
    expect(await counts()).toEqual([1, 1, 2])
    expect((await builder.send(log(), { once, text: 'Once' }, [])).statusCode).toBe(303)
    expect((await builder.send(log(), { once, text: 'Once' }, [{ name: 'a.jpg', bytes: Buffer.from('cut off by a bad line') }])).statusCode).toBe(303)
    expect(await counts()).toEqual([1, 1, 2])
  })
})

describe('what is refused beside the field, with the words kept and nothing changed', () => {
  const refusedWith = async (files: { name: string; bytes: Uint8Array }[]) => {
    const answer = await builder.send(log(), { text: 'Half a page of words', kind: 'lesson', day: '2026-05-12' }, files)
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Half a page of words</textarea>')
    expect(answer.body).toContain('value="2026-05-12"')
    expect(words(answer.body)).toContain('Choose them again')
    expect(await counts()).toEqual([0, 0, 0])
    return words(answer.body)
  }

  test('a photo that is no photo, by its name', async () => {
    expect(await refusedWith([{ name: 'good.jpg', bytes: await picture() }, { name: 'diary.jpg', bytes: Buffer.from('dear diary') }])).toContain('“diary.jpg” is no photo that can be read here: JPEG, PNG and WebP can.')
  })

  test('one larger than 12 MB, by its size alone', async () => {
    const large = Buffer.alloc(12_000_001, 1)
    large.set([0xff, 0xd8, 0xff])
    expect(await refusedWith([{ name: 'C:\\pictures\\huge.jpg', bytes: large }])).toContain('“huge.jpg” is larger than 12 MB')
  })

  test('a seventh', async () => {
    const photo = await picture()
    expect(await refusedWith(Array.from({ length: 7 }, (_, n) => ({ name: `${n}.jpg`, bytes: photo })))).toContain('At most 6 photos at once')
    expect((await builder.send(log(), { text: 'Six' }, Array.from({ length: 6 }, (_, n) => ({ name: `${n}.jpg`, bytes: photo })))).statusCode).toBe(303)
    expect(await counts()).toEqual([1, 6, 12])
  })

  test('a name that is meant to be markup is shown as a name', async () => {
    const answer = await builder.send(log(), { text: 'x' }, [{ name: '<img src=x onerror=alert(1)>.jpg', bytes: Buffer.from('no') }])
    expect(answer.statusCode).toBe(422)
    expect(answer.body).not.toContain('<img src=x')
  })
})

describe('forms in parts', () => {
  test('are read only where a route takes files', async () => {
    const build = await club.db.build.findUniqueOrThrow({ where: { id: buildId } })
    const answer = await builder.send(`/builds/${buildId}/pause`, { version: String(build.version), note: 'rest' }, [])
    expect(answer.statusCode).toBe(400)
    expect((await club.db.build.findUniqueOrThrow({ where: { id: buildId } })).state).toBe('active')
  })

  test('need the once-only key, our own origin, and a sign-in with the right, like any form', async () => {
    const photo = [{ name: 'a.jpg', bytes: await picture() }]
    expect((await builder.send(log(), { once: 'none', text: 'x' }, photo)).statusCode).toBe(400)
    expect((await builder.send(log(), { text: 'x' }, photo, { origin: 'https://elsewhere.example' })).statusCode).toBe(403)
    expect((await club.signedOut.send(log(), { text: 'x' }, photo)).statusCode).toBe(401)
    expect((await other.send(log(), { text: 'x' }, photo)).statusCode).toBe(403)
    expect(await counts()).toEqual([0, 0, 0])
  })

  test('a broken one is a page that says so, not a fault', async () => {
    const { type, payload } = await inParts({ once: randomUUID(), text: 'x' }, [{ name: 'a.jpg', bytes: await picture() }])
    const headers = { 'content-type': type }
    const cut = await club.app.inject({ method: 'POST', url: log(), headers: { ...headers, origin: 'http://localhost:80', cookie: `${COOKIE}=${builder.secret}` }, payload: payload.subarray(0, payload.length - 60) })
    expect(cut.statusCode).toBe(400)
    const none = await builder.send(log(), { text: 'x' }, [], { 'content-type': 'multipart/form-data' })
    expect(none.statusCode).toBe(400)
    const nul = await builder.send(log(), { text: 'a\0b' }, [])
    expect(nul.statusCode).toBe(400)
    expect(await counts()).toEqual([0, 0, 0])
  })

  test('still send fields without files as any form does', async () => {
    expect((await builder.post(log(), { text: 'Plain' })).statusCode).toBe(303)
    expect(await counts()).toEqual([1, 0, 0])
  })
})

describe('who sees a photo', () => {
  const send = async (id: string) => {
    await builder.send(log(id), { text: 'x' }, [{ name: 'a.jpg', bytes: await picture() }])
    return (await photosOf(club.db, id))[0]!.id
  }

  test('of a build that only its team sees: the team and officers', async () => {
    const id = await send(secretId)
    const officer = await club.signedIn(['officer'])
    for (const path of [`/builds/${secretId}/photos/${id}`, `/builds/${secretId}/photos/${id}/small`, `/builds/${secretId}/photos/${id}/about`]) {
      expect([(await builder.get(path)).statusCode, (await officer.get(path)).statusCode, (await other.get(path)).statusCode, (await club.signedOut.get(path)).statusCode], path).toEqual([200, 200, 404, 303])
    }
  })

  test('nobody reaches it by the address of another build', async () => {
    const id = await send(secretId)
    expect((await other.get(`/builds/${buildId}/photos/${id}`)).statusCode).toBe(404)
    expect((await builder.get(`/builds/${buildId}/photos/${id}/small`)).statusCode).toBe(404)
    expect((await builder.get(`/builds/${buildId}/photos/${randomUUID()}`)).statusCode).toBe(404)
  })
})

describe('a photo’s own page', () => {
  test('caption, day and guests are changed by whoever sent it or may change the build; nobody else', async () => {
    await builder.send(log(), { text: 'x' }, [{ name: 'a.jpg', bytes: await picture() }])
    const id = (await photosOf(club.db, buildId))[0]!.id
    const url = `/builds/${buildId}/photos/${id}`
    expect((await builder.post(url, { caption: 'Stem from port', takenOn: '2026-05-20', forGuests: 'on' })).statusCode).toBe(303)
    expect(await photosOf(club.db, buildId)).toMatchObject([{ caption: 'Stem from port', takenOn: '2026-05-20', forGuests: true }])
    const late = await builder.post(url, { caption: 'Tomorrow', takenOn: '2026-05-31' })
    expect([late.statusCode, words(late.body).includes('still to come')]).toEqual([422, true])
    // A keyholder may log on every build but not change another's photo.
    const keyholder = await club.signedIn(['keyholder'])
    expect((await keyholder.post(url, { caption: 'Mine now', takenOn: '2026-05-20' })).statusCode).toBe(403)
    expect(await photosOf(club.db, buildId)).toMatchObject([{ caption: 'Stem from port' }])
  })

  test('taken out, its bytes are gone from the database too, and the audit trail says who did it', async () => {
    await builder.send(log(), { text: 'x' }, [{ name: 'a.jpg', bytes: await picture() }])
    const id = (await photosOf(club.db, buildId))[0]!.id
    expect((await builder.post(`/builds/${buildId}/photos/${id}/remove`)).statusCode).toBe(303)
    expect(await counts()).toEqual([1, 0, 0])
    expect((await builder.get(`/builds/${buildId}/photos/${id}`)).statusCode).toBe(404)
    expect(await club.db.auditRow.findFirst({ where: { entity: 'photo', entityId: id } })).toMatchObject({ what: 'photo taken out', memberId: builder.memberId })
  })

  test('an entry that is taken back takes its photos with it', async () => {
    await builder.send(log(), { text: 'By mistake' }, [{ name: 'a.jpg', bytes: await picture() }])
    const entry = await club.db.logEntry.findFirstOrThrow()
    expect((await builder.post(`${log()}/${entry.id}/withdraw`)).statusCode).toBe(303)
    expect(await counts()).toEqual([1, 0, 0])
    expect(words((await builder.get(log())).body)).not.toContain('By mistake')
  })
})

test('other features store a photo by its bytes, or are told why not', async () => {
  const ctx = club.make.ctx(builder.memberId)
  const store = (bytes: Uint8Array) => transact(club.db, (tx) => storePhoto(tx, ctx, { buildId, bytes, caption: 'From elsewhere', takenOn: '2026-05-03', forGuests: true }))
  expect((await store(await picture())).ok).toBe(true)
  expect(await photosOf(club.db, buildId, { from: '2026-05-03', until: '2026-05-04' })).toMatchObject([{ caption: 'From elsewhere', forGuests: true }])
  expect(await photosOf(club.db, buildId, { from: '2026-05-04' })).toEqual([])
  expect(await store(Buffer.from('no'))).toMatchObject({ ok: false, refusal: { status: 422 } })
})
