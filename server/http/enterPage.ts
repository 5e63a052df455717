import type { Person } from '../access/access.ts'
import { PASSWORD_LENGTH } from '../access/passwordRules.ts'
import { homeOf } from '../protocol/roles.ts'

/**
 * The pages by which people come in and go: plain HTML in the look of the house, which work without scripts. The
 * one script, with the answer's nonce, lets a typed password be looked at.
 */

const style = `
:root{color-scheme:light dark;--paper:#f7f2e8;--leaf:#fffdf7;--ink:#1d2330;--soft:#5b5f66;--rule:#dcd2c0;--edge:#8a8172;--sun:#e8a33d;--line:#9a5b00;--bad:#a3271c}
@media(prefers-color-scheme:dark){:root{--paper:#11151c;--leaf:#171c25;--ink:#ece5d8;--soft:#a3a8b0;--rule:#333b48;--edge:#7d8694;--sun:#f0b75a;--line:#f0b75a;--bad:#ff9d8f}}
*{box-sizing:border-box}
body{margin:0;min-height:100vh;background:var(--paper);color:var(--ink);font:18px/1.5 Inter,system-ui,sans-serif;display:grid;place-items:center;padding:24px}
main{width:100%;max-width:30rem;border-top:2px solid var(--sun);border-bottom:1px solid var(--rule);padding:28px 4px 32px}
h1{font:600 30px/1.2 'Source Serif 4',Georgia,serif;margin:0 0 12px}
p,form{margin:0 0 16px}
small{display:block;color:var(--soft);font-size:15px;margin-top:24px}
a{color:inherit}
label{display:block;font-weight:600;margin:0 0 4px}
.field{margin:0 0 18px}
.hint{color:var(--soft);font-size:15px;margin:4px 0 0}
input{width:100%;min-height:52px;padding:10px 12px;border:1px solid var(--edge);border-radius:3px;background:var(--leaf);color:var(--ink);font:inherit}
input[aria-invalid]{border-color:var(--bad);border-width:2px}
.trouble{border-left:3px solid var(--bad);padding:8px 12px;background:var(--leaf);color:var(--bad)}
button,.go{display:inline-block;min-height:56px;padding:14px 28px;border:1px solid var(--ink);border-radius:3px;background:var(--ink);color:var(--paper);font:inherit;font-weight:600;text-decoration:none;cursor:pointer}
.quiet{min-height:44px;margin-top:8px;padding:8px 16px;background:none;color:var(--ink);border-color:var(--edge);font-weight:400}
.row{display:flex;flex-wrap:wrap;gap:12px;align-items:center}
.row form{margin:0}
[hidden]{display:none}
button:focus-visible,a:focus-visible,input:focus-visible{outline:3px solid var(--line);outline-offset:3px}
`

const caution =
  'Sunup is an operational picture. It never touches a vote, never connects to voting equipment and never shows results.'
/** Who can help whom nothing lets in. */
const whoHelps = 'whoever set up your county’s Sunup'

function page(title: string, inside: string): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta name="robots" content="noindex"><title>${title} · Sunup</title><style>${style}</style></head>
<body><main><h1>${title}</h1>${inside}<small>${caution}</small></main></body></html>`
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, character => `&#${character.charCodeAt(0)};`)
}

/** `secret` holds only characters of base64url: checked by the caller. Whose the link is, it doesn't say. */
export function askPage(secret: string): string {
  return page(
    'Good morning',
    `<p>This link signs you in on this device, once. It stays signed in for sixteen hours.</p>
${enterForm(secret, 'Sign in')}`,
  )
}

/** A link to set a password, before its button is pressed. */
export function invitedPage(secret: string): string {
  return page(
    'Welcome to Sunup',
    `<p>With this link you set your password, once. After that you sign in with your e-mail and the password.</p>
${enterForm(secret, 'Choose a password')}`,
  )
}

function enterForm(secret: string, button: string): string {
  return `<form method="post" action="/enter"><input type="hidden" name="key" value="${secret}"><button>${button}</button></form>`
}

/** Where the password is chosen; `problem`: why the last one was not taken. */
export function passwordPage(asks: {
  secret: string
  person: Pick<Person, 'name'>
  email: string | null
  problem: string | null
  nonce: string
}): string {
  const { secret, person, email, problem, nonce } = asks
  const rules = `At least ${PASSWORD_LENGTH.least} characters. A few words in a row are good, spaces and all; it needs no capitals, digits or signs, and it never expires.`
  return page(
    `A password for ${escaped(person.name)}`,
    `${trouble(problem)}<form method="post" action="/enter/password">
<input type="hidden" name="key" value="${secret}">
${email === null ? '' : `<input type="hidden" name="email" autocomplete="username" value="${escaped(email)}"><p>You will sign in as <strong>${escaped(email)}</strong>.</p>`}
${passwordField('New password', 'new-password', problem !== null, rules)}
<button>Set the password and sign in</button></form>${showScript(nonce)}`,
  )
}

/** `to`: the page that was asked for. */
export function signInPage(asks: {
  email: string
  to: string
  problem: string | null
  nonce: string
}): string {
  const { email, to, problem, nonce } = asks
  return page(
    'Sign in',
    `${trouble(problem)}<form method="post" action="/sign-in">
<input type="hidden" name="to" value="${escaped(to)}">
<div class="field"><label for="email">E-mail</label>
<input id="email" name="email" type="email" autocomplete="username" required maxlength="200" value="${escaped(email)}"></div>
${passwordField('Password', 'current-password', problem !== null, null)}
<button>Sign in</button></form>${showScript(nonce)}
<p class="hint">No account, or the password is lost? A one-time link signs you in or lets you set a new one: ask ${whoHelps}. At a precinct, the <a href="/precinct">precinct page</a> needs a code from the desk instead.</p>`,
  )
}

function trouble(problem: string | null): string {
  return problem === null ? '' : `<p class="trouble" role="alert" id="trouble">${escaped(problem)}</p>`
}

function passwordField(label: string, complete: string, bad: boolean, hint: string | null): string {
  const described = [...(bad ? ['trouble'] : []), ...(hint === null ? [] : ['hint'])].join(' ')
  return `<div class="field"><label for="password">${label}</label>
<input id="password" name="password" type="password" autocomplete="${complete}" required spellcheck="false" autocapitalize="none"${bad ? ' aria-invalid="true"' : ''}${described === '' ? '' : ` aria-describedby="${described}"`}>
${hint === null ? '' : `<p class="hint" id="hint">${hint}</p>`}
<button type="button" class="quiet" id="show" aria-pressed="false" hidden>Show the password</button></div>`
}

function showScript(nonce: string): string {
  return `<script nonce="${nonce}">
const show=document.getElementById('show'),field=document.getElementById('password')
show.hidden=false
show.onclick=()=>{const on=field.type==='password';field.type=on?'text':'password';show.setAttribute('aria-pressed',String(on))}
</script>`
}

/** For somebody who is signed in and comes to a page of signing in. */
export function signedInPage(person: Person): string {
  return page(
    'You are signed in',
    `<p>As ${escaped(person.name)}, ${person.role}.</p>
<div class="row"><a class="go" href="${homeOf[person.role]}">Go to your page</a>
<form method="post" action="/leave"><button class="quiet">Sign out</button></form></div>`,
  )
}

export function usedPage(signedIn: Person | null): string {
  return page(
    'This link is no longer good',
    signedIn
      ? `<p>It has been used, or its time is over. You are signed in already, as ${escaped(signedIn.name)}.</p><p><a class="go" href="${homeOf[signedIn.role]}">Go to your page</a></p>`
      : `<p>It has been used, or its time is over: each link is good for one person, once.</p>
<p>If you have a password, sign in with it. Else ask ${whoHelps} for a new link.</p><p><a class="go" href="/sign-in">Sign in</a></p>`,
  )
}

export function noLinkPage(): string {
  return page(
    'Sign in by your link',
    `<p>This address opens with the link that you were given: open the whole of it. ${whoHelps[0]!.toUpperCase()}${whoHelps.slice(1)} gives links.</p>
<p>With a password you need no link.</p><p><a class="go" href="/sign-in">Sign in</a></p>`,
  )
}

export function leftPage(): string {
  return page(
    'You are signed out',
    `<p>Pages that are still open here get nothing new.</p>
<p><a class="go" href="/sign-in">Sign in</a></p><p class="hint">Without a password, ask ${whoHelps} for a new link.</p>`,
  )
}
