import { canonicalReport, fingerprintOf } from '../log/fingerprint.ts'
import { plainSeal } from '../returns/plainSeal.ts'

/**
 * A short print of a seal's number, by which a precinct's page tells whether what was typed is what the plan expects
 * without being shown the number first. It keeps the number out of sight of who types, no more: numbers are short, and
 * somebody with a computer could try them all. Spaces and case don't count.
 *
 * @param day,container what the number is expected on, so that equal numbers have different prints
 */
export function sealPrint(day: string, container: string, number: string): string {
  return fingerprintOf(canonicalReport(day, container, plainSeal(number))).toString(36)
}
