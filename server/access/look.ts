/** The look of the few pages that the server draws itself: the page's paper and ink, in one small style and no script. */
import { createHash } from 'node:crypto';
import { html, raw } from 'hono/html';

const style = `
:root { --paper: #f4efe1; --leaf: #fbf8ee; --ink: #1c2530; --soft: #515b66; --rule: #c5ced1; --doubt: #9a3b00; --press: #e4dcc6; color-scheme: light dark; }
@media (prefers-color-scheme: dark) { :root { --paper: #14181d; --leaf: #1b2027; --ink: #e9e4d6; --soft: #aab0b4; --rule: #343c45; --doubt: #ffb27a; --press: #2b323b; } }
* { box-sizing: border-box; }
html { font: 112.5% / 1.45 system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", sans-serif; -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body { margin: 0 auto; max-width: 60rem; padding: 1.2rem; background: var(--paper); color: var(--ink); overflow-wrap: anywhere; }
h1 { margin: 0 0 0.8rem; font: 1.7rem Charter, "Bitstream Charter", Georgia, Cambria, "Times New Roman", serif; }
h2 { margin: 0 0 0.5rem; font-size: 1.1rem; }
p { margin: 0 0 0.7rem; }
ol, ul { margin: 0 0 0.7rem; padding-left: 1.4rem; }
li { margin-bottom: 0.35rem; }
section { margin: 0 0 1rem; padding: 0.9rem 1rem; background: var(--leaf); border: 1.5px solid var(--rule); border-radius: 4px; }
small { color: var(--soft); font-size: 0.85rem; }
.steps { display: grid; grid-template-columns: repeat(auto-fit, minmax(17rem, 1fr)); gap: 1rem; margin-bottom: 1rem; }
.steps section { margin: 0; }
.qr { display: block; width: 13rem; max-width: 100%; margin: 0.3rem 0 0.7rem; height: auto; }
.code { font: 700 2.1rem / 1.2 ui-monospace, "DejaVu Sans Mono", monospace; letter-spacing: 0.08em; }
.print { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: 0.85rem; }
.trouble { padding: 0.5rem 0.8rem; border-left: 8px solid var(--doubt); color: var(--doubt); font-weight: 600; }
label { display: block; margin-bottom: 0.9rem; }
input, button, .button { display: block; width: 100%; min-height: 56px; padding: 0.4rem 0.9rem; border: 1.5px solid var(--ink); border-radius: 4px; background: var(--leaf); color: var(--ink); font: inherit; text-decoration: none; }
button, .button { display: inline-block; width: auto; min-width: 56px; cursor: pointer; }
.button { padding-top: 0.75rem; }
button:active { background: var(--press); }
:focus-visible { outline: 3px solid var(--ink); outline-offset: 2px; }
a { color: inherit; }
.phones { padding: 0; list-style: none; }
.phones li { display: flex; flex-wrap: wrap; gap: 0.4rem 1rem; align-items: center; justify-content: space-between; border-top: 1px solid var(--rule); padding-top: 0.4rem; }
form { margin: 0 0 0.7rem; }
.phones form { margin: 0; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
`;

export type Markup = ReturnType<typeof html>;

/** Nothing but that style; forms go to the server itself. */
const ownPagePolicy = `default-src 'none'; style-src 'sha256-${createHash('sha256').update(style).digest('base64')}'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'`;

/**
 * Headers of such a page. With `no-referrer` a browser would send `Origin: null` with the page's own forms, and they
 * would be refused (fetch.spec.whatwg.org, "serializing a request origin").
 */
export const ownPageHeaders: Readonly<Record<string, string>> = {
  'content-security-policy': ownPagePolicy,
  'referrer-policy': 'same-origin',
  'cache-control': 'no-store',
};

export function ownPage(title: string, body: Markup): Markup {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${raw(style)}</style>
</head>
<body>
<main>
<h1>${title}</h1>
${body}
</main>
</body>
</html>`;
}
