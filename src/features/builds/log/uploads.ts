/** The photos of a form: read before anything is written, or refused beside their field. */
import { ok, type Result } from '../../../core/result.ts'
import { MAX_FILE, MAX_FILES, MEGABYTE, type Uploads } from '../../../platform/uploads.ts'
import { refused, type Refusal } from '../../../platform/write.ts'
import { readPhoto, type ReadPhoto } from './photo.ts'

export const PHOTO_FIELD = 'photos'

export async function readPhotos({ files, tooMany }: Uploads): Promise<Result<ReadPhoto[], Refusal>> {
  const faults = tooMany ? [`At most ${MAX_FILES} photos at once: send the others with another entry`] : []
  const photos: ReadPhoto[] = []
  for (const { name, bytes, isTooLarge } of tooMany ? [] : files) {
    const read = isTooLarge ? null : await readPhoto(bytes)
    if (read?.ok) photos.push(read.value)
    else faults.push(`“${name}” ${read ? read.refusal : `is larger than ${MAX_FILE / MEGABYTE} MB: make it smaller first`}`)
  }
  if (faults.length === 0) return ok(photos)
  return refused(422, 'A photo can’t be taken as it is; see the note at the field. Nothing was changed.', { fields: { [PHOTO_FIELD]: `${faults.join('. ')}.` } })
}
