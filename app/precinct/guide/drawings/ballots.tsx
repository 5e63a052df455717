import { LEAF, SUN } from './pieces.tsx'

export const packs = (
  <>
    <path d="M96 120h128v20h-128zM96 140h128v20h-128z" {...LEAF} />
    <path d="M96 100h128v20h-128z" {...SUN} />
    <path d="M146 100v60M174 100v60M40 160h240" />
    <path d="M40 96c20-28 40-30 62-22l18 6c10 4 4 16-6 14l-20-4" />
    <path d="M280 96c-20-28-40-30-62-22l-18 6c-10 4-4 16 6 14l20-4" />
  </>
)

export const seal = (
  <>
    <path d="M30 60h110v80h-110zM180 60h110v80h-110z" {...LEAF} />
    <path d="M118 88h84v24h-84z" {...LEAF} />
    <path d="M160 100c-24 20-24 30-16 40M160 100c24 20 24 30 16 40" />
    <path d="M116 138h88v38h-88z" {...SUN} />
    <text x="160" y="165" textAnchor="middle" fontSize="24" fontWeight="700" fill="#1d2330" stroke="none">
      00417
    </text>
  </>
)

export const box = (
  <>
    <path d="M60 84h200v100h-200z" {...LEAF} />
    <path d="M84 104h152v60h-152z" stroke="var(--sun-line)" strokeWidth="5" />
    <path d="M60 84l24 20M260 84l-24 20M60 184l24-20M260 184l-24-20" />
    <path d="M60 84l22-62h156l22 62z" {...LEAF} />
    <path d="M148 38h24" />
  </>
)

export const boxLocked = (
  <>
    <path d="M64 64h192v116h-192z" {...LEAF} />
    <path d="M56 44h208v22h-208zM130 55h60" {...LEAF} />
    <path d="M140 92h40v34h-40z" {...SUN} />
    <path d="M148 92v-12a12 12 0 0 1 24 0v12M160 104v10" />
  </>
)
