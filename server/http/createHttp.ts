import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http'
import { performance } from 'node:perf_hooks'
import type { Access, Device } from '../access/access.ts'
import type { Log } from '../log.ts'
import { type Answer, refuse, send } from './answer.ts'
import { readJson } from './body.ts'
import { clientAddress, identify, originAllowed } from './caller.ts'
import { enrolRoute } from './enrol.ts'
import { enterRoutes } from './enter.ts'
import { secureHeaders } from './headers.ts'
import { HTTP_LIMITS } from './limits.ts'
import type { HttpMetrics } from './metrics.ts'
import { pageStatus } from './pageStatus.ts'
import { peopleRoutes } from './peopleRoutes.ts'
import { findRoute, type Route } from './routes.ts'

export type HttpDeps = {
  access: Access
  /** The API's routes; sign-in, people, enrolment, health and metrics are here already. */
  routes: readonly Route[]
  /** Everything that is no route and not under /api/ (Next). */
  pages: (request: IncomingMessage, response: ServerResponse) => void | Promise<void>
  /** Whether the server has caught up with the log, and if not, why. */
  ready: () => { ready: boolean; why?: string }
  /** Notes a new device in its day's log. */
  enrolled: (device: Device, replaced: string | null) => Promise<void>
  metrics: HttpMetrics
  log: Log
  /** Wall time, milliseconds. */
  now: () => number
  publicUrl: string | null
  tls: boolean
  trustedProxies: number
  /** Milliseconds for a body; standard HTTP_LIMITS.bodyMs. */
  bodyMs?: number
}

/** Whether people come by https: by our certificate, or by a proxy whose public address says so. */
function isSecure({ tls, publicUrl }: Pick<HttpDeps, 'tls' | 'publicUrl'>): boolean {
  return tls || (publicUrl?.startsWith('https:') ?? false)
}

/** Every route there is; what is none of them goes to the pages. */
export function httpRoutes(deps: HttpDeps): Route[] {
  const { access, publicUrl } = deps
  return [
    ...operatorRoutes(deps),
    ...enterRoutes(access, { secure: isSecure(deps), publicUrl }, deps.now),
    enrolRoute(access, deps.enrolled, deps.log),
    ...peopleRoutes(access),
    ...deps.routes,
  ]
}

/**
 * The server's request listener. A request passes, in this order: headers → route → who is calling (401) → role
 * (403) → Origin, for writes by cookie (403) → body (415, 413, 408, 400) → the route's own answer. What a route
 * throws is logged and answered with 500; the caller never sees it. `/socket.io/` is left to the socket server.
 */
export function createHttp(deps: HttpDeps, routes: readonly Route[] = httpRoutes(deps)): RequestListener {
  const headerSettings = { secure: isSecure(deps), publicUrl: deps.publicUrl }

  return (request, response) => {
    const started = performance.now()
    const [path = '', query = ''] = splitOnce(request.url ?? '/', '?')
    if (path.startsWith('/socket.io/')) return
    secureHeaders(request, response, headerSettings)
    let name = 'pages'
    response.once('close', () => {
      const ms = performance.now() - started
      deps.metrics.served.observe({ route: name, status: response.statusCode }, ms / 1_000)
      deps.log.debug(
        { method: request.method, route: name, status: response.statusCode, ms: Math.round(ms) },
        'served',
      )
    })
    respond().catch(error => {
      deps.log.error({ err: error, route: name }, 'a request failed')
      send(request, response, refuse(500, 'Something went wrong in the server. It has been noted.'))
    })

    async function respond(): Promise<void> {
      if (path.length > HTTP_LIMITS.pathLength)
        return send(request, response, refuse(414, 'The address is too long.'))
      const found = findRoute(routes, request.method ?? 'GET', path)
      if (found.found === 'route') {
        name = found.route.pattern
        return send(request, response, await answerOf(found.route, found.params))
      }
      if (found.found === 'other-method') {
        name = 'other-method'
        const allow = found.allow.join(', ')
        return send(request, response, refuse(405, `Only ${allow} here.`, { headers: { Allow: allow } }))
      }
      if (path.startsWith('/api/')) {
        name = 'unknown'
        return send(request, response, refuse(404, 'There is nothing at this address.'))
      }
      response.statusCode = await pageStatus(deps.access, path, request.headers)
      await deps.pages(request, response)
    }

    async function answerOf(route: Route, params: Record<string, string>): Promise<Answer> {
      const address = clientAddress(
        request.socket.remoteAddress,
        request.headers['x-forwarded-for'] as string | undefined,
        deps.trustedProxies,
      )
      let caller = null
      if (route.who !== 'anyone') {
        const people = route.who.some(who => who !== 'device')
        caller = await identify(deps.access, request.headers, {
          device: route.who.includes('device'),
          person: people,
        })
        if (caller === null)
          return refuse(401, unknown(people, request.headers.authorization !== undefined), {
            headers: { 'WWW-Authenticate': 'Bearer' },
          })
        if ('person' in caller && !route.who.includes(caller.person.role))
          return refuse(403, `This is for ${route.who.join(' and ')} only.`)
        const byCookie = 'person' in caller && caller.by === 'cookie'
        if (byCookie && route.method !== 'GET' && !originAllowed(request.headers, deps.publicUrl))
          return refuse(403, 'This was not sent from a page of this server.', { path: 'Origin' })
      }
      let body: unknown
      if (route.method === 'POST' && route.body !== 'none') {
        const read = await readJson(
          request,
          route.body ?? HTTP_LIMITS.bodyBytes,
          deps.bodyMs ?? route.bodyMs ?? HTTP_LIMITS.bodyMs,
        )
        if (!read.ok) return read.answer
        body = read.value
      }
      return route.handle({ request, params, query: new URLSearchParams(query), caller, address, body })
    }
  }
}

function unknown(people: boolean, withToken: boolean): string {
  if (!people) return 'Send the device key as a bearer.'
  return withToken
    ? 'This token is not known or has ended, or it is an administrator’s: none acts as one. An administrator signs in; a program’s token has another role.'
    : 'Sign in first, or send a bearer token.'
}

/** For the operator's machinery: alive, caught up, figures. They tell nothing about precincts or people. */
function operatorRoutes({ ready, metrics }: HttpDeps): Route[] {
  const plain = 'text/plain; charset=utf-8'
  return [
    {
      method: 'GET',
      pattern: '/healthz',
      who: 'anyone',
      handle: () => ({ status: 200, text: 'ok\n', type: plain }),
    },
    {
      method: 'GET',
      pattern: '/readyz',
      who: 'anyone',
      handle() {
        const state = ready()
        return {
          status: state.ready ? 200 : 503,
          text: state.ready ? 'ready\n' : `${state.why ?? 'not ready'}\n`,
          type: plain,
        }
      },
    },
    {
      method: 'GET',
      pattern: '/metrics',
      who: 'anyone',
      handle: async () => ({
        status: 200,
        text: await metrics.registry.metrics(),
        type: metrics.registry.contentType,
      }),
    },
  ]
}

function splitOnce(text: string, at: string): [string, string] {
  const cut = text.indexOf(at)
  return cut < 0 ? [text, ''] : [text.slice(0, cut), text.slice(cut + 1)]
}
