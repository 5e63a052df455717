'use client'
import type { ReactNode } from 'react'
import { useWords } from '../words/WordsContext.tsx'
import { box, boxLocked, packs, seal } from './drawings/ballots.tsx'
import { door, flapClosed, flapOpen, memory, prompt, seated, sound } from './drawings/machine.tsx'
import { closingTape, sums, tape } from './drawings/papers.tsx'
import { carriers, checkIn, line, team } from './drawings/people.tsx'
import { entrance, locked, power, room } from './drawings/room.tsx'
import css from './guide.module.css'
import type { DrawingName } from './troubleParts.ts'

const DRAWINGS: Readonly<Record<DrawingName, ReactNode>> = {
  box,
  boxLocked,
  carriers,
  checkIn,
  closingTape,
  door,
  entrance,
  flapClosed,
  flapOpen,
  line,
  locked,
  memory,
  packs,
  power,
  prompt,
  room,
  seal,
  seated,
  sound,
  sums,
  tape,
  team,
}

/** A line drawing of what a step is about; it shows no maker's machine. What it shows is said in words too. */
export function Drawing({ name }: { name: DrawingName }) {
  const { drawings } = useWords()
  return (
    <svg
      className={css.drawing}
      viewBox="0 0 320 200"
      role="img"
      aria-label={drawings[name]}
      fill="none"
      stroke="currentColor"
      strokeWidth="3"
      strokeLinecap="round"
      strokeLinejoin="round"
    >
      {DRAWINGS[name]}
    </svg>
  )
}
