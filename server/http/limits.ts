/** Limits of the HTTP side, each with its reason. */
export const HTTP_LIMITS = {
  /** A batch of reports (256 KiB) and its envelope. */
  bodyBytes: 264 * 1024,
  /** A sign-in form: an e-mail and 200 characters of password, each up to four bytes, percent-encoded. */
  formBytes: 4 * 1024,
  /** A whole body must be in by then: a full batch at 30 KB/s. A trickle can't hold a slot for longer. */
  bodyMs: 10_000,
  /** The files of a plan in base64: 5,000 precincts with all their tables are 6 MB, a third more in base64. */
  planBytes: 24 * 1024 * 1024,
  /** A whole plan must be in by then, below the server's bound for a request: at 1 MB/s. */
  planMs: 25_000,
  /** Bodies above the usual size being read at once: bounds their memory; only an administrator sends them. */
  largeAtOnce: 2,
  /** Bodies being read at once: bounds their memory to 104 MB. Above it: 503 with Retry-After. */
  bodiesAtOnce: 400,
  /** Too long a body is read on and thrown away for this long, so that its sender gets to read the answer. */
  discardMs: 1_000,
  discardBytes: 8 * 1024 * 1024,
  pathLength: 2_000,
} as const

/** Options of node:http(s).createServer that belong with these limits. */
export const serverOptions = {
  /** Slow headers. */
  headersTimeout: 10_000,
  /** Headers and body together; Next's own routes are bounded by this one. */
  requestTimeout: 30_000,
  /** Longer than the 60 s after which common proxies give up an idle connection, so that they close first. */
  keepAliveTimeout: 65_000,
  /** Cookies and a bearer key fit many times. */
  maxHeaderSize: 16 * 1024,
} as const
