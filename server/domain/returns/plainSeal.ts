/** A seal's number as it is compared: without spaces and case, since people write and read it by hand. */
export function plainSeal(number: string): string {
  return number.replace(/\s+/g, '').toUpperCase()
}
