/** The start page on the computer: two pictures to scan, the code to type, and the phones that may come in. */
import { html, raw } from 'hono/html';
import { generate } from 'lean-qr';
import { toSvgSource } from 'lean-qr/extras/svg';
import { hostsOf, type LocalNames } from './addresses.ts';
import type { CodeState } from './codes.ts';
import { type Markup, ownPage } from './look.ts';
import type { Phones } from './phones.ts';

/** Addresses of the two listeners of the local network, without a slash at the end. */
export interface LanAddresses {
  /** Where the phone opens the book, once for each address and name; the best first. */
  readonly book: readonly string[];
  /** Where it fetches the certificate. */
  readonly certificate: readonly string[];
}

/** @example addressesOf({ addresses: ['192.168.1.5'], name: null }, 8418, 8419).book // ['https://192.168.1.5:8418'] */
export function addressesOf(names: LocalNames, bookPort: number, certificatePort: number): LanAddresses {
  // A name without an address leads nowhere.
  const hosts = names.addresses.length === 0 ? [] : hostsOf(names);
  return {
    book: hosts.map((host) => `https://${host}:${bookPort}`),
    certificate: hosts.map((host) => `http://${host}:${certificatePort}`),
  };
}

/** The address that pairs with a code at one scan. */
const pairingAddress = (book: string, code: string): string => `${book}/pair?code=${code}`;

/** Four and four digits are read across a table without a slip. */
export const spaced = (code: string): string => `${code.slice(0, 4)} ${code.slice(4)}`;

interface StartPage {
  readonly addresses: LanAddresses;
  readonly code: CodeState;
  readonly fingerprint: string;
  readonly phones: ReturnType<Phones['list']>;
  readonly now: number;
}

export function startPage({ addresses, code, fingerprint, phones, now }: StartPage): Markup {
  const [book] = addresses.book;
  const [certificate] = addresses.certificate;
  if (book === undefined || certificate === undefined)
    return ownPage(
      'Phones',
      html`<section><p class="trouble">This machine has no address on a local network.</p>
<p>Join a network that the phone is on too (the phone's own hotspot will do), then open this page again.</p></section>
${phoneList(phones, now)}`,
    );
  return ownPage(
    'Phones',
    html`<div class="steps">
<section>
<h2>1. Once for each phone: the certificate</h2>
${picture(certificate, 'The address of the certificate')}
<p><a href="${certificate}">${certificate}</a></p>
<p>Scan it, and do what the phone's page says. Before you install, compare the certificate's SHA-256 fingerprint on the phone with this one:</p>
<p class="print">${fingerprint}</p>
</section>
<section>
<h2>2. Open the book</h2>
${opening(book, code, now)}
</section>
</div>
${others(addresses)}
${phoneList(phones, now)}`,
  );
}

function opening(book: string, code: CodeState, now: number): Markup {
  if (code.kind !== 'open')
    return html`<p>${gone[code.kind]}</p>
<form method="post" action="/phones/code"><button>New code</button></form>`;
  const minutes = Math.max(1, Math.ceil((code.until - now) / 60_000));
  return html`${picture(pairingAddress(book, code.code), 'The address of the book, with the code')}
<p>Scan it, give the phone a name, press <b>Let this phone in</b>. Or open <a href="${book}/pair">${book}</a> on the phone and type</p>
<p class="code">${spaced(code.code)}</p>
<p>For one phone, for ${minutes} more ${minutes === 1 ? 'minute' : 'minutes'}.
${code.wrong > 0 ? html`<b>${code.wrong} wrong ${code.wrong === 1 ? 'code was' : 'codes were'} tried.</b> If that was not you, somebody on this network is guessing.` : ''}</p>
<form method="post" action="/phones/code"><button>New code</button></form>`;
}

const gone = {
  none: 'There is no code now.',
  used: 'The code was used: that phone is in. For another phone:',
  old: 'The code was too old.',
  spent:
    'Too many wrong codes were tried, so the code is void. If that was not you, somebody on this network is guessing: use another network.',
} as const;

function others({ book }: LanAddresses): Markup {
  if (book.length < 2) return html``;
  return html`<section><h2>Other addresses of this machine</h2>
<ul>${book.slice(1).map((address) => html`<li><a href="${address}/pair">${address}</a></li>`)}</ul>
<p><small>A phone keeps its notes under the address at which it opened the book. Where phones know names that end in .local, such a name stays the same when the address changes.</small></p></section>`;
}

function phoneList({ phones, damaged }: ReturnType<Phones['list']>, now: number): Markup {
  return html`<section><h2>Phones that may come in</h2>
${phones.length + damaged.length === 0 ? html`<p>None yet.</p>` : ''}
<ul class="phones">
${phones.map(
  (phone) =>
    html`<li><span>${phone.name} <small>let in ${dayOf(phone.made)}, last here ${ago(now - phone.seen)}</small></span>${out(phone.id, phone.name)}</li>`,
)}
${damaged.map(
  (id) =>
    html`<li><span class="trouble">What was kept of phone ${id} cannot be read; it stays out until it is paired again.</span>${out(id, `phone ${id}`)}</li>`,
)}
</ul>
<p><small>A phone that is put out keeps the notes that are on it and sends nothing more. By a note: forget the phone of Wren. From the command line: stemsay phones.</small></p></section>`;
}

const out = (id: string, name: string): Markup =>
  html`<form method="post" action="/phones/out"><input type="hidden" name="id" value="${id}"><button>Put out <span class="unseen">${name}</span></button></form>`;

export const dayOf = (time: number): string => new Date(time).toISOString().slice(0, 10);

/** Roughly how long ago: nobody asks for the second. */
export function ago(milliseconds: number): string {
  const minutes = Math.floor(milliseconds / 60_000);
  if (minutes < 2) return 'just now';
  if (minutes < 120) return `${minutes} minutes ago`;
  if (minutes < 2880) return `${Math.floor(minutes / 60)} hours ago`;
  return `${Math.floor(minutes / 1440)} days ago`;
}

/** A QR code as a picture; the colours are fixed, as readers want dark on light. */
function picture(text: string, label: string): Markup {
  const svg = toSvgSource(generate(text), {
    on: '#000',
    off: '#fff',
    padX: 4,
    padY: 4,
    width: null,
    height: null,
  });
  return html`${raw(svg.replace('<svg ', `<svg class="qr" role="img" aria-label="${label}" `))}`;
}
