import { once } from 'node:events'
import type { AddressInfo } from 'node:net'
import { simpleParser, type ParsedMail } from 'mailparser'
import { SMTPServer, type SMTPServerOptions } from 'smtp-server'

export type Letter = ParsedMail & { raw: string; envelope: { from: string; to: string[] } }

export type PostOffice = {
  port: number
  url: string
  letters: Letter[]
  /** What each sign-in tried. */
  signIns: { user: string; password: string; isSecure: boolean }[]
  /** Called when a whole letter has come; what it throws is what the server answers with. */
  onLetter: (letter: Letter) => Promise<void> | void
  close(): Promise<void>
}

/** A refusal in a server's words: `throw no(550, 'No such person')`. */
export const no = (code: number, words: string): Error => Object.assign(new Error(words), { responseCode: code })

/** A real SMTP server on this machine that keeps what it is given. */
export async function postOffice(options: SMTPServerOptions & { user?: string; password?: string } = {}): Promise<PostOffice> {
  const { user, password, ...more } = options
  const office: PostOffice = { port: 0, url: '', letters: [], signIns: [], onLetter: () => undefined, close: async () => undefined }
  const server = new SMTPServer({
    authOptional: user === undefined,
    disabledCommands: user === undefined ? ['AUTH', 'STARTTLS'] : ['STARTTLS'],
    allowInsecureAuth: true,
    logger: false,
    onAuth(auth, session, done) {
      office.signIns.push({ user: auth.username ?? '', password: auth.password ?? '', isSecure: session.secure })
      if (auth.username === user && auth.password === password) done(null, { user: auth.username })
      else done(no(535, 'Who are you?'))
    },
    onData(stream, session, done) {
      const parts: Buffer[] = []
      stream.on('data', (part: Buffer) => parts.push(part))
      stream.on('end', () => {
        const raw = Buffer.concat(parts).toString('utf8')
        const { mailFrom, rcptTo } = session.envelope
        simpleParser(raw)
          .then(async (mail) => {
            const letter: Letter = { ...mail, raw, envelope: { from: mailFrom ? mailFrom.address : '', to: rcptTo.map((to) => to.address) } }
            await office.onLetter(letter)
            office.letters.push(letter)
            done()
          })
          .catch(done)
      })
    },
    ...more,
  })
  server.on('error', () => undefined)
  const listening = server.listen(0, '127.0.0.1')
  await once(listening, 'listening')
  office.port = (listening.address() as AddressInfo).port
  office.url = `smtp://127.0.0.1:${office.port}`
  office.close = () => new Promise<void>((done) => server.close(() => done()))
  return office
}
