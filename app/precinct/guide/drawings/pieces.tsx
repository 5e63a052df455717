/** Pieces of the drawings. Lines are the text's ink, what is looked for is the sun's colour. */

export const SUN = { fill: 'var(--sun)', stroke: 'var(--sun-line)' } as const
export const LEAF = { fill: 'var(--leaf)' } as const

/** Head and shoulders; `x`, `y`: the middle of the head. */
export function Person({ x, y, sun }: { x: number; y: number; sun?: boolean }) {
  return (
    <g {...(sun ? SUN : LEAF)}>
      <path d={`M${x - 20} ${y + 46}v-10a20 20 0 0 1 40 0v10z`} />
      <circle cx={x} cy={y} r="12" />
    </g>
  )
}

/** The ballot box from the side, with the opening on its top. */
export function Box() {
  return (
    <g {...LEAF}>
      <path d="M88 96h144v84h-144z" />
      <path d="M104 116h40M104 180v8M216 180v8" />
    </g>
  )
}

/** The tabulator as it stands on the box; `lift`: how far its left end hangs in the air. */
export function Tabulator({ lift = 0 }: { lift?: number }) {
  return (
    <g transform={lift === 0 ? undefined : `rotate(${lift} 224 94)`} {...LEAF}>
      <path d="M96 94v-28l20-16h88l20 16v28z" />
      <path d="M132 62h56" />
    </g>
  )
}

/** A strip of paper from `top` to `bottom`, torn at its end. */
export function Tape({ top, bottom }: { top: number; bottom: number }) {
  return (
    <path {...LEAF} d={`M116 ${top}h88v${bottom - top}l-11-8l-11 8l-11-8l-11 8l-11-8l-11 8l-11-8l-11 8z`} />
  )
}
