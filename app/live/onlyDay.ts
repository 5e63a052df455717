/**
 * The day that is meant where nobody chose one: the only one that runs, or the only one there is. null: somebody
 * has to choose.
 */
export function onlyDay(days: ReadonlyArray<{ id: string; running?: boolean }> | null): string | null {
  if (days === null) return null
  const running = days.filter(d => d.running)
  const meant = running.length > 0 ? running : days
  return meant.length === 1 ? meant[0]!.id : null
}
