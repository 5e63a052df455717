/** The sign-in pages: plain HTML without scripts, in the look of the house. */

const style = `
:root{color-scheme:light dark;--paper:#f7f2e8;--leaf:#fffdf7;--ink:#1d2330;--soft:#5b5f66;--rule:#dcd2c0;--sun:#e8a33d}
@media(prefers-color-scheme:dark){:root{--paper:#11151c;--leaf:#171c25;--ink:#ece5d8;--soft:#a3a8b0;--rule:#333b48;--sun:#f0b75a}}
*{box-sizing:border-box}
body{margin:0;min-height:100vh;background:var(--paper);color:var(--ink);font:18px/1.5 Inter,system-ui,sans-serif;display:grid;place-items:center;padding:24px}
main{width:100%;max-width:30rem;border-top:2px solid var(--sun);border-bottom:1px solid var(--rule);padding:28px 4px 32px}
h1{font:600 30px/1.2 'Source Serif 4',Georgia,serif;margin:0 0 12px}
p{margin:0 0 16px}
small{display:block;color:var(--soft);font-size:15px;margin-top:24px}
button,.go{display:inline-block;min-height:56px;padding:14px 28px;border:1px solid var(--ink);border-radius:3px;background:var(--ink);color:var(--paper);font:inherit;font-weight:600;text-decoration:none;cursor:pointer}
button:focus-visible,a:focus-visible{outline:3px solid var(--sun);outline-offset:3px}
`

const caution =
  'Sunup is an operational picture. It never touches a vote, never connects to voting equipment and never shows results.'

function page(title: string, inside: string): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta name="robots" content="noindex"><title>${title} · Sunup</title><style>${style}</style></head>
<body><main><h1>${title}</h1>${inside}<small>${caution}</small></main></body></html>`
}

/** `secret` holds only characters of base64url: checked by the caller. */
export function askPage(secret: string): string {
  return page(
    'Good morning',
    `<p>This link signs you in on this device, once. It stays signed in for sixteen hours.</p>
<form method="post" action="/enter"><input type="hidden" name="key" value="${secret}"><button>Sign in</button></form>`,
  )
}

export function usedPage(signedIn: boolean): string {
  return page(
    'This link is no longer good',
    signedIn
      ? '<p>It has been used or its time is over. You are signed in already.</p><p><a class="go" href="/desk">Go to the desk</a></p>'
      : '<p>It has been used or its time is over. Each link signs one person in, once.</p><p>Ask the supervisor on duty for a new one.</p>',
  )
}

export function noLinkPage(): string {
  return page(
    'Sign in by your link',
    '<p>Open the link that the supervisor on duty gave you. There is no password.</p>',
  )
}

export function leftPage(): string {
  return page('You are signed out', '<p>To come back, ask the supervisor on duty for a new link.</p>')
}
