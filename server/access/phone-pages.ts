/** The pages that a phone sees before it is let in: how to install the certificate, and where to give the code. */
import { html } from 'hono/html';
import { type Markup, ownPage } from './look.ts';
import { nameLength } from './phones.ts';

/** The page of the certificate, over plain HTTP: it says nothing that is secret and asks for nothing. */
export function certificatePage(book: string, fingerprint: string): Markup {
  return ownPage(
    'The certificate',
    html`<section>
<p>With it this phone knows your computer again. It can vouch for addresses of local networks only, never for a site of the internet.</p>
<p><a class="button" href="/authority.crt" download="stemsay-authority.crt">Get the certificate</a></p>
</section>
<section><h2>On Android</h2>
<ol>
<li>Get the certificate, with the button above.</li>
<li>Open the phone's Settings and search for <b>CA certificate</b> (under Security, Encryption and credentials, Install a certificate).</li>
<li>Choose <b>CA certificate</b>, read the warning, choose <b>Install anyway</b>, and pick <b>stemsay-authority.crt</b>.</li>
</ol></section>
<section><h2>On an iPhone or iPad</h2>
<ol>
<li>Open this page in Safari, get the certificate with the button above, and allow it.</li>
<li>Settings, <b>Profile Downloaded</b>, Install.</li>
<li>Settings, General, About, <b>Certificate Trust Settings</b>: switch it on.</li>
</ol></section>
<section><h2>Before you trust it</h2>
<p>Compare its SHA-256 fingerprint, as the phone's settings show it, with the one on the computer's screen. If one digit differs, do not install it: somebody on this network is in between. This page would show:</p>
<p class="print">${fingerprint}</p>
</section>
<section><h2>Then</h2>
<p>Scan the second picture on the computer, or open <a href="${book}/pair">${book}</a> and type the code.</p>
<p><small>Menus have other names on some phones. To take the certificate off again: the same place in Settings.</small></p></section>`,
  );
}

interface PairingForm {
  /** The code as it came with the address or was typed before. */
  readonly code: string;
  readonly name: string;
  /** What was wrong with the try before; null at first. */
  readonly trouble: string | null;
  /** The name under which this phone is in already; null where it is not. */
  readonly inAs: string | null;
}

export function pairingPage({ code, name, trouble, inAs }: PairingForm): Markup {
  return ownPage(
    'Let this phone in',
    html`${trouble === null ? '' : html`<p class="trouble" role="alert">${trouble}</p>`}
${inAs === null ? '' : html`<section><p>This phone is in already, as ${inAs}.</p><p><a class="button" href="/">Open the book</a></p></section>`}
<section>
<form method="post" action="/pair">
<label>The code on the computer's screen, eight digits
<input name="code" value="${code}" inputmode="numeric" autocomplete="one-time-code" maxlength="20" required></label>
<label>A name for this phone
<input name="name" value="${name}" autocomplete="off" maxlength="${nameLength}"></label>
<button>Let this phone in</button>
</form>
<p><small>No code there? Open the start page on the computer: it is printed where the server was started.</small></p>
</section>`,
  );
}

/** What to call a phone that gave no name, by what its browser says of itself. */
export function phoneName(agent: string): string {
  if (/iPhone/.test(agent)) return 'iPhone';
  if (/iPad/.test(agent)) return 'iPad';
  if (/Android/.test(agent)) return 'Android phone';
  return 'Phone';
}
