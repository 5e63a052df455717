/** The part of the browser's audio that is used. */
export type Audio = Pick<
  AudioContext,
  'currentTime' | 'destination' | 'createOscillator' | 'createGain' | 'resume'
>

/** Two soft notes, a fourth apart: hertz, and seconds from the beginning. */
const NOTES = [
  { hertz: 523.25, at: 0 },
  { hertz: 698.46, at: 0.28 },
] as const
/** Loudness between 0 and 1, and how long a note takes to die away, in seconds. */
const LOUD = 0.12
const FADES = 0.9

/**
 * A quiet chime, made here: nothing is loaded. Browsers allow sound only after a touch, so until `touched` nothing
 * sounds, and what would have sounded before isn't made up for.
 */
export function createChime(open: () => Audio | null): { touched(): void; ring(): void } {
  let audio: Audio | null = null
  return {
    touched() {
      audio ??= open()
      audio?.resume().catch(() => undefined)
    },
    ring() {
      if (!audio) return
      for (const { hertz, at } of NOTES) note(audio, hertz, audio.currentTime + at)
    },
  }
}

function note(audio: Audio, hertz: number, at: number) {
  const tone = audio.createOscillator()
  const gain = audio.createGain()
  tone.frequency.value = hertz
  gain.gain.setValueAtTime(0, at)
  gain.gain.linearRampToValueAtTime(LOUD, at + 0.02)
  // An exponential never reaches 0.
  gain.gain.exponentialRampToValueAtTime(0.0001, at + FADES)
  tone.connect(gain)
  gain.connect(audio.destination)
  tone.start(at)
  tone.stop(at + FADES)
}
