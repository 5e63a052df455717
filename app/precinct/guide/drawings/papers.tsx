import { LEAF, SUN, Tape } from './pieces.tsx'

export const tape = (
  <>
    <path d="M76 44h168v-28h-168z" {...LEAF} />
    <Tape top={36} bottom={184} />
    <path d="M128 58h64M128 84h34M128 108h34M128 132h34M128 156h34" />
    {[84, 108, 132, 156].map(y => (
      <ellipse key={y} cx="186" cy={y} rx="6" ry="8" {...SUN} />
    ))}
  </>
)

export const closingTape = (
  <>
    <path d="M76 32h168v-20h-168z" {...LEAF} />
    <Tape top={24} bottom={190} />
    <path d="M128 42h64M128 58h40M128 74h50" />
    <path d="M126 112h68M126 138h68M126 164h68" />
    <path
      d="M130 108c10-18 14 8 22-6s8 10 16-2M130 134c8-14 16 6 24-8s10 8 20 0M130 160c12-16 12 6 22-4s10 6 14-4"
      stroke="var(--sun-line)"
    />
    <path d="M214 150l54-62l12 10l-54 62l-16 6z" {...LEAF} />
  </>
)

export const sums = (
  <>
    <path d="M84 14h152v172h-152z" {...LEAF} />
    <path d="M104 40h52M104 64h52M104 88h52M184 40h32M184 64h32M184 88h32M104 128h52" />
    <path d="M176 108h48" />
    <path d="M176 118h48v26h-48z" {...SUN} />
    <path d="M188 127h24M188 135h24M104 164h70" />
  </>
)
