/** Every failure that ends in a page of its own: its status, title and text. */
export const failures = {
  'sign-in-needed': [401, 'Please sign in', 'You were signed out, so nothing was saved. Sign in and send it again.'],
  'not-yours': [403, 'Not yours to do', 'Your roles in the club do not cover this. An officer can change that.'],
  'not-found': [404, 'Not here', 'There is no such page, or it is not open to you.'],
  'guest-unknown': [404, 'Not here', 'No guests’ link has this address. It is long: was all of it copied? Ask whoever gave it to you.'],
  'guest-nothing': [404, 'Not here', 'This link does not show that, or it is not there any more.'],
  'guest-withdrawn': [410, 'This link was withdrawn', 'The club shows nothing here any more. Ask whoever gave it to you.'],
  'guest-over': [410, 'This link is over', 'It was made to show something until a certain day. Ask whoever gave it to you.'],
  'other-origin': [403, 'Came from elsewhere', 'This form was not sent from a page of this service, so nothing was changed. Open the page again and send it from there.'],
  'once-missing': [400, 'Form incomplete', 'The form came without its once-only key, so nothing was changed. Open the page again and send it from there.'],
  'once-used': [409, 'Sent before', 'This form’s key was used for something else, so nothing was changed. Open the page again and send it from there.'],
  'bad-form': [400, 'Can’t be read', 'What was sent can’t be read as a form. Nothing was changed.'],
  'too-large': [413, 'Too large', 'What was sent is larger than this service takes. Nothing was changed.'],
  'too-many': [429, 'A moment, please', 'Too many requests came from your connection. Wait a minute and go on.'],
  'set-up-needed': [503, 'Not set up yet', 'This club has not been set up yet.'],
  unavailable: [503, 'Back in a moment', 'The database does not answer just now. Nothing you saved before is lost; try again in a minute.'],
  bug: [500, 'Something broke', 'This is a fault of the program, not yours. Nothing of this request was saved. The log has the details under the number below.'],
} as const satisfies Record<string, readonly [status: number, title: string, text: string]>

export type FailureCode = keyof typeof failures

/** Thrown where no form is at hand to show again; becomes an error page. */
export class Failure extends Error {
  readonly code: FailureCode
  readonly statusCode: number
  constructor(code: FailureCode, options?: ErrorOptions) {
    super(failures[code][1], options)
    this.code = code
    this.statusCode = failures[code][0]
  }
}

export const failure = (code: FailureCode, cause?: unknown): Failure => new Failure(code, cause === undefined ? undefined : { cause })

/** For a read of something that is not there (or not shown to this person). */
export function found<T>(row: T | null | undefined): T {
  if (row === null || row === undefined) throw failure('not-found')
  return row
}
