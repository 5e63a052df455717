import { LEAF, Person, SUN } from './pieces.tsx'

export const team = (
  <>
    <Person x={90} y={54} />
    <Person x={160} y={42} sun />
    <Person x={230} y={54} />
    <ellipse cx="160" cy="128" rx="116" ry="36" {...LEAF} />
    <path d="M128 120h32v16h-32zM176 116h28v18h-28zM84 148l-10 34M236 148l10 34" />
  </>
)

export const line = (
  <>
    <Person x={52} y={84} />
    <Person x={106} y={84} />
    <Person x={160} y={84} />
    <Person x={214} y={84} />
    <path d="M20 148h280" />
    <path d="M266 148v-72" />
    <path d="M244 40h44v36h-44z" {...SUN} />
    <path d="M254 58h24" />
  </>
)

export const carriers = (
  <>
    <Person x={72} y={44} />
    <Person x={248} y={44} />
    <path d="M72 90v42l-14 48M72 132l16 48M248 90v42l-16 48M248 132l14 48" />
    <path d="M112 104h96v58h-96z" {...LEAF} />
    <path d="M92 84l28 20M228 84l-28 20M112 128h96" />
    <path d="M150 120h20v16h-20z" {...SUN} />
  </>
)

export const checkIn = (
  <>
    <Person x={160} y={38} />
    <path d="M40 96h240v16h-240zM60 112v72M260 112v72" {...LEAF} />
    <path d="M178 60h58v34h-58z" {...LEAF} />
    <path d="M84 66l52-8l4 32l-54 6z" {...SUN} />
    <path d="M96 74l32-5M98 84l32-5M190 72h34M190 82h22" />
  </>
)
