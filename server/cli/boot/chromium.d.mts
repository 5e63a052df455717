export function findChromium(): Promise<string | null>
export function chromiumOrInstall(): Promise<string | null>
