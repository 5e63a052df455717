'use client'
import { useSyncExternalStore } from 'react'
import { type Offline, type OfflineShell, startOffline } from '../live/offline/register.ts'
import { whenIdle } from './whenIdle.ts'

let shell: OfflineShell | null = null

/** Begins to store the page for opening it without a network, once a page. */
export function startOfflineHere(): void {
  shell ??= startOffline({
    container: navigator.serviceWorker ?? null,
    reload: () => location.reload(),
    whenIdle,
  })
}

export function useOffline(): Offline {
  return useSyncExternalStore(
    listener => shell?.subscribe(listener) ?? (() => undefined),
    () => shell?.state() ?? 'getting',
    () => 'getting',
  )
}

export function loadAgain(): void {
  if (shell) void shell.loadAgain()
  else location.reload()
}
