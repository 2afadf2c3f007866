/** Reminders by mail: what is promised to whom, and when. Instants are whole minutes since 1970-01-01T00:00Z. */

export type Kind = 'window' | 'session' | 'trial'

/** A member who asked for reminders, can sign in and is with the club. */
export type Asker = {
  readonly memberId: string
  readonly windows: boolean
  readonly sessions: boolean
  readonly quietFrom: string
  readonly quietTo: string
  readonly stopKey: string
  readonly isMinor: boolean
  /** May see builds that only their team may. */
  readonly seesAll: boolean
}

/** A reminder that holds as things stand. `at`: when it is due; `until`: from then on it is of no use. */
export type Due = {
  readonly memberId: string
  readonly kind: Kind
  /** What it is about: at most one mail a member about each. */
  readonly about: string
  readonly at: number
  readonly until: number
  /** Subject and text as of the moment it goes. */
  write(sendAt: number): { subject: string; text: string }
}

export type WindowFacts = {
  readonly build: string
  /** The coat that may go on, and the one it goes over. */
  readonly to: string
  readonly from: string
  readonly place: string | null
  readonly opens: number
  readonly closes: number | null
  /** The person's own piece. */
  readonly start: number
  readonly end: number
  readonly cautions: readonly string[]
  readonly address: string
}

export type SessionPiece = { readonly start: number; readonly end: number; readonly build: string; readonly task: string; readonly place: string | null; readonly others: readonly string[] }

export type SessionFacts = {
  readonly title: string
  readonly site: string
  readonly start: number
  readonly end: number
  /** When this person is there; null: nobody opens, so it is not sure that anybody can. */
  readonly there: { readonly from: number; readonly to: number } | null
  /** They said so; else they usually come. */
  readonly hasSaid: boolean
  readonly keyholder: string | null
  readonly isKeyholder: boolean
  readonly note: string
  readonly pieces: readonly SessionPiece[]
  /** Tools whose use is planned. */
  readonly tools: readonly string[]
  readonly hasResin: boolean
  readonly hasDust: boolean
  readonly cautions: readonly string[]
  readonly isMinor: boolean
  readonly address: string
}
