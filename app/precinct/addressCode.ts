/**
 * The enrolment code that a link brought (`/precinct?code=XXXXX-XXXXX`); empty where it brought none. It only
 * fills the field: the worker presses the button, so a preview that opens the link uses nothing up.
 */
export function codeOfAddress(): string {
  const code = new URLSearchParams(location.search).get('code') ?? ''
  return /^[A-Za-z0-9 -]{1,40}$/.test(code) ? code : ''
}

/** A code that was used doesn't stay in the address, where it would be kept as a bookmark. */
export function forgetAddressCode(): void {
  if (location.search !== '') history.replaceState(null, '', location.pathname + location.hash)
}
