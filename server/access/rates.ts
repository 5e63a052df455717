/**
 * Token buckets with bounded memory: each name may spend `perMinute` tokens a minute, saved up to one minute's
 * worth. At the bound the name that was quiet longest is forgotten (it gets a full bucket again), so a flood of
 * names costs no memory; that is why a bucket over all names stands behind it.
 */
export type Rates = {
  /** Spends one token. 0: granted; else milliseconds until there is one. */
  take(name: string, now: number): number
  /** Gives a token back. */
  giveBack(name: string): void
  readonly size: number
}

/** `perMinute` ≥ 1; `names` is the bound on how many names are remembered. */
export function makeRates(perMinute: number, names: number): Rates {
  const buckets = new Map<string, { tokens: number; at: number }>()
  const msPerToken = 60_000 / perMinute
  return {
    take(name, now) {
      const bucket = buckets.get(name) ?? { tokens: perMinute, at: now }
      // A wall clock that was set back must not take tokens away.
      const passed = Math.max(0, now - bucket.at)
      bucket.tokens = Math.min(perMinute, bucket.tokens + passed / msPerToken)
      bucket.at = now
      buckets.delete(name)
      buckets.set(name, bucket)
      if (buckets.size > names) buckets.delete(buckets.keys().next().value!)
      if (bucket.tokens < 1) return Math.ceil((1 - bucket.tokens) * msPerToken)
      bucket.tokens -= 1
      return 0
    },
    giveBack(name) {
      const bucket = buckets.get(name)
      if (bucket) bucket.tokens = Math.min(perMinute, bucket.tokens + 1)
    },
    get size() {
      return buckets.size
    },
  }
}

/**
 * What counts as one address: an IPv4 address, or the /64 of an IPv6 address (one household or one phone owns a
 * whole /64). IPv4 written as IPv6 (`::ffff:192.0.2.1`) is IPv4. Other text stays as it is, cut to 60 characters.
 */
export function addressGroup(address: string): string {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)
  if (mapped) return mapped[1]!
  if (!address.includes(':')) return address.slice(0, 60)
  const [head = '', tail] = address.toLowerCase().split('%')[0]!.split('::')
  const left = head === '' ? [] : head.split(':')
  const right = tail === undefined || tail === '' ? [] : tail.split(':')
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - left.length - right.length)
  const groups = [...left, ...Array<string>(zeros).fill('0'), ...right].slice(0, 4)
  return `${groups.map(group => group.replace(/^0+(?=.)/, '')).join(':')}::/64`
}
