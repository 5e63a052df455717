import { collectDefaultMetrics, Histogram, Registry } from 'prom-client'

export type HttpMetrics = { registry: Registry; served: Histogram<'route' | 'status'> }

/** A registry with the process's own figures and the time each route takes. Other rooms add theirs to it. */
export function makeMetrics(): HttpMetrics {
  const registry = new Registry()
  collectDefaultMetrics({ register: registry })
  const served = new Histogram({
    name: 'sunup_http_seconds',
    help: 'Time from request to answer, by route and status; pages are one route',
    labelNames: ['route', 'status'] as const,
    buckets: [0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10],
    registers: [registry],
  })
  return { registry, served }
}
