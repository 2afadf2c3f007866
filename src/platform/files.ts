import type { Reader, Tx } from './database.ts'

export type FileBytes = { type: string; bytes: Uint8Array }

/**
 * Where bytes of files are kept. They are in PostgreSQL: one thing to back up, written with the rows that name them or not at all, and every
 * instance sees them. A store of objects could stand behind the same three calls.
 */
export interface Files {
  /** @returns the id that the file is got by */
  put(tx: Tx, file: FileBytes, at: Date): Promise<string>
  get(db: Reader, id: string): Promise<FileBytes | null>
  /** For good, together with the row that named it. */
  remove(tx: Tx, ids: readonly string[]): Promise<void>
}

export const files: Files = {
  async put(tx, { type, bytes }, at) {
    const row = await tx.storedFile.create({ data: { type, bytes: Uint8Array.from(bytes), createdAt: at }, select: { id: true } })
    return row.id
  },
  get: (db, id) => db.storedFile.findUnique({ where: { id }, select: { type: true, bytes: true } }),
  async remove(tx, ids) {
    await tx.storedFile.deleteMany({ where: { id: { in: [...ids] } } })
  },
}
