import { Box, LEAF, SUN, Tabulator } from './pieces.tsx'

export const seated = (
  <>
    <Box />
    <Tabulator />
    <path d="M80 95h160" stroke="var(--sun-line)" strokeWidth="5" />
    <path d="M160 12v22M150 24l10 12l10-12" />
  </>
)

export const flapOpen = (
  <>
    <Box />
    <Tabulator />
    <path d="M168 112h44v34h-44z" {...SUN} />
    <path d="M168 146l-16 20h44l16-20" {...LEAF} />
    <path d="M190 72v50M182 114l8 10l8-10" />
  </>
)

export const flapClosed = (
  <>
    <Box />
    <Tabulator />
    <path d="M168 112h44v34h-44z" {...LEAF} />
    <path d="M176 14h28v42h-28z" {...SUN} />
    <path d="M176 120l28 18M204 120l-28 18" />
  </>
)

export const sound = (
  <>
    <Box />
    <Tabulator />
    <path d="M140 142h12l16-14v40l-16-14h-12z" {...SUN} />
    <path d="M180 136c8 8 8 16 0 24M194 128c14 14 14 26 0 40M52 124c-12 14-12 26 0 40M268 124c12 14 12 26 0 40" />
  </>
)

export const prompt = (
  <>
    <Box />
    <Tabulator />
    <path d="M112 12h96v30h-38l-10 12l-10-12h-38z" {...SUN} />
    <path d="M126 27h46M182 27h10" />
  </>
)

export const door = (
  <>
    <path d="M56 36h208v140h-208z" {...LEAF} />
    <path d="M84 64h152v84h-152zM100 64v84" />
    <path d="M220 96h28v20h-28z" {...LEAF} />
    <path d="M234 106c10 8 14 12 14 20" />
    <path d="M222 124h54v30h-54z" {...SUN} />
    <path d="M234 139h30" />
  </>
)

export const memory = (
  <>
    <path d="M92 92h136v88h-136z" {...LEAF} />
    <path d="M92 92l14-16h108l14 16M108 168h40" />
    <path d="M134 20h52v60h-52z" {...SUN} />
    <path d="M146 20v-8h28v8M148 38h24M160 56v64M150 110l10 12l10-12" />
  </>
)
