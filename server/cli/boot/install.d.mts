export function packagesToDo(here: {
  wanted: string
  stamp: string | null
  lockAt: number
  npmAt: number
  tools: boolean
  built: boolean
  complete: boolean
}): 'nothing' | 'install' | 'refuse'
type Lockfile = {
  packages?: Record<string, { version?: string; dev?: boolean; optional?: boolean; devOptional?: boolean }>
}
export function isComplete(lockfile: Lockfile, installed: Lockfile): boolean
export function install(...parts: Array<'programs' | 'pages'>): Promise<void>
