import './precinct.css'
import type { Metadata } from 'next'
import { PrecinctApp } from './PrecinctApp.tsx'

export const metadata: Metadata = { title: 'Precinct' }

export default function PrecinctPage() {
  return <PrecinctApp />
}
