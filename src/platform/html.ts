import { randomUUID } from 'node:crypto'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { h, type ComponentType } from 'preact'
import { render } from 'preact-render-to-string'
import { PageContext, type Moved, type Page } from '../../views/shared/page-context.ts'
import type { Assets } from './assets.ts'
import type { Clock } from './clock.ts'
import { takeFlash } from './flash.ts'

export type PageHooks = {
  /** What the last replan moved that this person has not seen. */
  moved?: (req: FastifyRequest, reply: FastifyReply) => Promise<readonly Moved[]>
}

declare module 'fastify' {
  interface FastifyReply {
    /** Renders a view to a whole page (or, asked by htmx, whatever the view returns then) and sends it. */
    view<P extends object>(view: ComponentType<P>, props: NoInfer<P>, options?: { status?: number }): Promise<FastifyReply>
  }
}

// No inline script or style anywhere: `style="…"` attributes do not work either, SVG's own attributes do.
const CONTENT_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ')

export function registerHtml(app: FastifyInstance, assets: Assets, clock: Clock, hooks: PageHooks): void {
  app.addHook('onRequest', async (req, reply) => {
    reply.header('content-security-policy', CONTENT_POLICY)
    reply.header('x-content-type-options', 'nosniff')
    // Not no-referrer: browsers then send "Origin: null" with forms, and the origin check would refuse them.
    reply.header('referrer-policy', 'same-origin')
    reply.header('cross-origin-opener-policy', 'same-origin')
    reply.header('cross-origin-resource-policy', 'same-origin')
    reply.header('permissions-policy', 'camera=(), geolocation=(), microphone=()')
    if (req.isSecure) reply.header('strict-transport-security', 'max-age=31536000')
  })

  app.decorateReply('view', async function view(this: FastifyReply, component, props, options = {}) {
    const req = this.request
    const isFragment = wantsFragment(req)
    const page: Page = {
      member: req.member,
      club: req.club,
      now: clock.now(),
      path: req.url,
      // A part of a page has no room for it: it waits for the next whole page.
      flash: isFragment ? null : takeFlash(req, this),
      moved: isFragment || !req.member ? [] : ((await hooks.moved?.(req, this)) ?? []),
      once: randomUUID,
      isFragment,
      asset: assets.address,
      may: (permission, onTeam) => req.may(permission, onTeam),
    }
    // The props fit the component by view()'s own type.
    const html = render(h(PageContext.Provider, { value: page }, h(component as ComponentType<object>, props)))
    return this.code(options.status ?? 200)
      .header('content-type', 'text/html; charset=utf-8')
      .header('cache-control', 'no-store')
      .header('vary', 'HX-Request, Cookie')
      .send(html.startsWith('<html') ? `<!doctype html>${html}` : html)
  })
}

function wantsFragment(req: FastifyRequest): boolean {
  const { headers } = req
  return headers['hx-request'] === 'true' && headers['hx-boosted'] !== 'true' && headers['hx-history-restore-request'] !== 'true'
}
