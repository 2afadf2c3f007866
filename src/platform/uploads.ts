import multipart from '@fastify/multipart'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { failure } from './errors.ts'

export const MEGABYTE = 1_000_000
/** Of one file, and how many come with one form. */
export const MAX_FILE = 12 * MEGABYTE
export const MAX_FILES = 6
/** Beyond this nothing is read any more, not even to say what was too much. */
const MAX_BODY = 200 * MEGABYTE

/** A file that came with a form. One that is too large has no bytes. */
export type Upload = { field: string; name: string; bytes: Buffer; isTooLarge: boolean }
export type Uploads = { files: readonly Upload[]; tooMany: boolean }

const NONE: Uploads = { files: [], tooMany: false }

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Takes files beside the fields of its form (`multipart/form-data`); no other route does. */
    files?: boolean
  }
  interface FastifyRequest {
    uploads: Uploads
  }
}

/** Reads forms that bring files, once the guard has let their sender through; the fields are in `req.body` as those of any form. */
export async function registerUploads(app: FastifyInstance): Promise<void> {
  await app.register(multipart, {
    throwFileSizeLimit: false,
    limits: { fileSize: MAX_FILE, fields: 100, fieldSize: 64_000, fieldNameSize: 200, parts: 400, headerPairs: 50 },
  })
  app.decorateRequest('uploads', null as unknown as Uploads)
  app.addHook('onRequest', async (req) => {
    req.uploads = NONE
  })
  app.addHook('preValidation', async (req) => {
    if (!req.isMultipart()) return
    if (!req.routeOptions.config.files) throw failure('bad-form')
    if (Number(req.headers['content-length'] ?? 0) > MAX_BODY) throw failure('too-large')
    try {
      await read(req)
    } catch (error) {
      // Cut off, or no such form at all: the reader of forms throws what it likes.
      throw (error as { statusCode?: number }).statusCode === undefined ? failure('bad-form', error) : error
    }
  })
}

/** Field by field and file by file as they arrive; what is more than allowed is passed over, so that the fields after it are still read. */
async function read(req: FastifyRequest): Promise<void> {
  const fields: Record<string, string | string[]> = {}
  const files: Upload[] = []
  let tooMany = false
  let size = 0
  for await (const part of req.parts()) {
    if (part.type === 'field') {
      if (typeof part.value !== 'string' || part.valueTruncated || part.fieldnameTruncated) throw failure('bad-form')
      const before = fields[part.fieldname]
      fields[part.fieldname] = before === undefined ? part.value : [...[before].flat(), part.value]
      continue
    }
    const isOver = files.length >= MAX_FILES
    const chunks: Buffer[] = []
    let length = 0
    for await (const chunk of part.file as AsyncIterable<Buffer>) {
      length += chunk.length
      size += chunk.length
      if (size > MAX_BODY) throw failure('too-large')
      if (!isOver) chunks.push(chunk)
    }
    // A field that was left empty comes as a file without name and bytes.
    if (length === 0 && !part.filename) continue
    if (isOver) tooMany = true
    else files.push({ field: part.fieldname, name: nameOf(part.filename), bytes: part.file.truncated ? Buffer.alloc(0) : Buffer.concat(chunks), isTooLarge: part.file.truncated })
  }
  req.body = fields
  req.uploads = { files, tooMany }
}

/** For messages only: no path, no control characters, not endless. */
function nameOf(name: string | undefined): string {
  const bare = (name ?? '').split(/[\\/]/).pop()!.replaceAll(/\p{Cc}/gu, '').trim()
  return bare.length > 60 ? `${bare.slice(0, 57)}…` : bare || 'the file'
}
