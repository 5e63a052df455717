export function isLeft(lock: { alive: boolean | null; ageMs: number }): boolean
export function alone<T>(
  lock: string,
  waiting: string,
  work: (also: (pid: number) => void) => Promise<T>,
): Promise<T>
