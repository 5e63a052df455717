import { LEAF, SUN } from './pieces.tsx'

export const locked = (
  <>
    <path d="M220 20v164h-120v-164z" {...LEAF} />
    <path d="M60 184h200M116 36h36v52h-36zM168 36h36v52h-36z" />
    <path d="M186 118h28v24h-28z" {...SUN} />
    <path d="M192 118v-8a8 8 0 0 1 16 0v8" />
  </>
)

export const room = (
  <>
    <path d="M28 60h56v52h-56zM84 60l20-14M28 60l-8-14M36 112v68M76 112v68" {...LEAF} />
    <path d="M132 92h84v12h-84zM146 104v76M202 104v76" {...LEAF} />
    <path d="M152 58h44v34h-44z" {...LEAF} />
    <path d="M160 74a14 14 0 0 1 28 0" stroke="var(--sun-line)" />
    <path d="M156 72h8v12h-8zM184 72h8v12h-8z" {...SUN} />
    <circle cx="262" cy="152" r="28" />
    <path d="M250 84v40h34M284 124l12 30h10" />
  </>
)

export const entrance = (
  <>
    <path d="M176 36h92v100h-92z" {...LEAF} />
    <path d="M200 56h44v80h-44zM234 98h2" />
    <path d="M20 180l180-44h100v44z" {...SUN} />
    <path d="M44 172v-40M128 150v-40M44 132l84-22" />
  </>
)

export const power = (
  <>
    <path d="M36 40h84v96h-84z" {...LEAF} />
    <path d="M64 72v14M92 72v14" />
    <path d="M150 66h34v42h-34zM150 78h-16M150 96h-16" {...LEAF} />
    <path d="M184 87c50 0 24 70 60 70" />
    <path d="M244 132h52v50h-52z" {...LEAF} />
    <circle cx="270" cy="58" r="16" {...SUN} />
    <path d="M270 28v-8M300 58h8M232 58h8M291 37l6-6M249 37l-6-6M270 74v58" />
  </>
)
