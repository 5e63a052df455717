/** Limits of what is read, each with its reason. What goes beyond one is refused by a message that names it. */
export const limits = {
  /** XML in all, in bytes. A statewide feed with every street is one or two GB (from memory); this takes minutes. */
  xmlBytes: 4 * 1024 ** 3,
  /** Files in a zip. A feed has one XML file, or one for each county: the largest state has 254 of them. */
  zipFiles: 1_000,
  /** Bytes of XML for one packed byte. Street lists pack to a thirtieth or so; deflate's utmost is 1,032. */
  zipRatio: 250,
  /** A file in a zip smaller than this has no ratio to speak of. */
  zipSmall: 1024 * 1024,
  /** Elements within elements. The specification's deepest lie seven deep. */
  depth: 24,
  /** Characters of one text, tag or comment. Full texts of measures run to some hundred thousand. */
  text: 1024 * 1024,
  /** Elements within one precinct, place or set of hours. Hours of many dates have some hundred. */
  within: 10_000,
  /** Characters of everything that is kept of a feed. A statewide one keeps some ten million. */
  kept: 64 * 1024 * 1024,
  /** What a kept element takes beside its texts, counted as characters. */
  keptElement: 256,
} as const

/** 1,048,576 as 1 MB. */
export function megabytes(bytes: number): string {
  return bytes >= 1024 ** 3 ? `${bytes / 1024 ** 3} GB` : `${Math.round((bytes / 1024 ** 2) * 10) / 10} MB`
}
