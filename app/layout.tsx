import '@fontsource-variable/inter/wght.css'
import '@fontsource-variable/source-serif-4/wght.css'
import './globals.css'
import type { Metadata, Viewport } from 'next'
import { cookies } from 'next/headers'
import type { ReactNode } from 'react'
import { themeOf } from './parts/theme.ts'

export const metadata: Metadata = {
  title: { default: 'Sunup', template: '%s · Sunup' },
  description:
    'The live operations board of a county elections office. Operational picture only: no votes, no results.',
  robots: { index: false, follow: false },
}

export const viewport: Viewport = {
  width: 'device-width',
  initialScale: 1,
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#f7f2e8' },
    { media: '(prefers-color-scheme: dark)', color: '#11151c' },
  ],
}

/**
 * The shell of every page. The chosen light (day or night) is a cookie, so the first paint is right without a
 * script of our own; without a choice the system's preference holds.
 */
export default async function RootLayout({ children }: { children: ReactNode }) {
  const theme = themeOf((await cookies()).get('sunup-theme')?.value)
  return (
    <html lang="en" data-theme={theme} suppressHydrationWarning>
      <body>{children}</body>
    </html>
  )
}
