import { join } from 'node:path'

/** The folder of published samples; vitest.config.ts leaves this group out where there is none. */
const samples = process.env.SUNUP_CONFORMANCE ?? ''

/**
 * The Voting Information Project's own sample feed of version 5.2 and the schema of version 6.0, from
 * github.com/votinginfoproject/vip-specification (CC BY 4.0).
 */
export const SAMPLE_FEED = join(samples, 'standards', 'vip', 'sample_feed_v5.xml')
export const SCHEMA_6 = join(samples, 'standards', 'vip', 'vip_spec_6.xsd')
/** Tables made with published programs and texts; each names its source. */
export const CHECK_VALUES = join(samples, 'reference')
