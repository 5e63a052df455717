/**
 * A token bucket per device: a device that floods is slowed by `retryAfter`, and others don't feel it.
 * Bounded: at most `limit` buckets are kept; a full bucket is the same as none, so dropping one is harmless.
 */
export type RateLimiter = {
  /** Milliseconds to wait before `cost` tokens are there; 0: taken. */
  take(key: string, cost: number, wall: number): number
}

function createRateLimiter(perSecond: number, burst: number, limit = 50_000): RateLimiter {
  const buckets = new Map<string, { tokens: number; at: number }>()
  return {
    take(key, cost, wall) {
      let bucket = buckets.get(key)
      if (!bucket) {
        if (buckets.size >= limit) forgetFull(buckets, perSecond, burst, wall)
        bucket = { tokens: burst, at: wall }
        buckets.set(key, bucket)
      }
      bucket.tokens = Math.min(burst, bucket.tokens + (Math.max(0, wall - bucket.at) * perSecond) / 1_000)
      bucket.at = wall
      // More than a whole bucket at once is let through on a full one: it could never pass otherwise.
      const need = Math.min(cost, burst)
      if (bucket.tokens >= need) {
        bucket.tokens -= cost
        return 0
      }
      return Math.ceil(((need - bucket.tokens) / perSecond) * 1_000)
    },
  }
}

function forgetFull(
  buckets: Map<string, { tokens: number; at: number }>,
  perSecond: number,
  burst: number,
  wall: number,
) {
  for (const [key, b] of buckets)
    if (b.tokens + ((wall - b.at) * perSecond) / 1_000 >= burst) buckets.delete(key)
  // All are in use: forget the one that was made first. It starts again with a full bucket.
  const oldest = buckets.keys().next()
  if (buckets.size > 0 && !oldest.done) buckets.delete(oldest.value)
}

/** A heartbeat period is 5 s at least; ten times that is a device out of hand. */
const HEARTBEATS = { perSecond: 2, burst: 60 }

/** The limits of one device: of its reports as the settings have it, of its heartbeats no less. */
export function deviceRates(reports: { perSecond: number; burst: number }) {
  return {
    reportRate: createRateLimiter(reports.perSecond, reports.burst),
    heartbeatRate: createRateLimiter(
      Math.max(HEARTBEATS.perSecond, reports.perSecond),
      Math.max(HEARTBEATS.burst, reports.burst),
    ),
  }
}
