import './styles/page.css'
import './styles/head.css'
import './styles/several.css'
import './styles/home.css'
import './styles/press.css'
import './styles/questions.css'
import './styles/lists.css'
import './letters.css'
import type { Metadata } from 'next'
import { PrecinctApp } from './PrecinctApp.tsx'

export const metadata: Metadata = {
  title: 'Precinct',
  manifest: '/precinct.webmanifest',
  icons: { apple: '/icons/sunup-apple-180.png' },
  appleWebApp: { capable: true, title: 'Sunup', statusBarStyle: 'default' },
}

export default function PrecinctPage() {
  return <PrecinctApp />
}
