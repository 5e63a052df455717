/**
 * Ends this process (SIGTERM to itself) when the shell that npm put between is gone. npm hands a signal on to
 * that shell alone; some shells die of it without telling us, and the server would run on unseen. Only under
 * npm: a process that was put into the background by hand may well outlive its parent.
 *
 * A signal that reached us by itself (Ctrl-C reaches the shell and us) ends the watch, so that a graceful stop is
 * not asked for twice.
 */
export function endWithParent() {
  if (process.env.npm_lifecycle_event === undefined) return
  const parent = process.ppid
  const watch = setInterval(() => {
    if (process.ppid !== parent) process.kill(process.pid, 'SIGTERM')
  }, 250)
  watch.unref()
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) {
    process.once(signal, () => {
      clearInterval(watch)
      // Nobody else listens (yet): what the signal would have done without us.
      if (process.listenerCount(signal) === 0) process.kill(process.pid, signal)
    })
  }
}
