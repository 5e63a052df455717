'use client'

/** Stands above a form's buttons while its words look like somebody; the words can be changed or written as they are. */
export function VoterWarning({ asks, onAnyway }: { asks: boolean; onAnyway(): void }) {
  if (!asks) return null
  return (
    <div role="alert">
      <p className="wrong">
        This looks like a person’s name, phone or address. Voters are never named here. Change it, or:
      </p>
      <button type="button" className="button quiet" onClick={onAnyway}>
        Write it anyway
      </button>
    </div>
  )
}
