/**
 * Who may ask this server. There are two doors, each a listener of its own, so that no header decides by which one a
 * request came: the machine's own (loopback, open to who sits there) and the phones' (the local network, for phones
 * that were let in). One judgement for requests and sockets.
 */
import { hostsOf, type LocalNames } from './addresses.ts';
import type { Phone, Phones } from './phones.ts';

/** What a request says of itself. */
export interface Asked {
  /** The name that was asked for, with its port: `Host`. */
  readonly host: string;
  /** The page that asks, where a browser says so. */
  readonly origin: string | undefined;
  /** `Sec-Fetch-Site`, where it counts: for everything but opening a page. */
  readonly site: string | undefined;
  readonly cookie: string | undefined;
}

interface Refusal {
  /** 401: bring a token; 403: not from there. */
  readonly status: 401 | 403;
  readonly sentence: string;
}

export interface Door {
  /** Whether this request comes from another place than the server's own pages; null: it does not. */
  strangerTo(asked: Asked): Refusal | null;
  /** Why who asks may not have what needs a token; null: he may. */
  shutTo(asked: Asked): Refusal | null;
  /** A Set-Cookie header for who comes again after a while, so that his token outlives the browser's limit; else null. */
  renewalFor(asked: Asked): string | null;
}

/** What stands before the host of a cookie that no other host, path or plain connection may set (RFC 6265bis, 4.1.3). */
export const cookieName = '__Host-stemsay';
const cookieDays = 400;

/** Says that the name is wrong before it looks at the page, so that a rebound name learns nothing. */
function strangers(scheme: 'http' | 'https', isOwn: (host: string) => boolean, wrongName: string) {
  return ({ host, origin, site }: Asked): Refusal | null => {
    const name = host.replace(/:\d+$/, '').toLowerCase();
    if (!isOwn(name)) return { status: 403, sentence: `${wrongName}; it was asked for as ${name}.` };
    const foreign = origin !== undefined && origin !== `${scheme}://${host}`;
    if (foreign || site === 'cross-site' || site === 'same-site')
      return { status: 403, sentence: 'This server answers its own page only, not another page.' };
    return null;
  };
}

/** Names under which a browser on this machine reaches it. */
const loopback = new Set(['localhost', '127.0.0.1', '[::1]']);

/** The door for who sits at this machine: nothing to bring. */
export const ownDoor: Door = {
  strangerTo: strangers(
    'http',
    (name) => loopback.has(name),
    'This server answers on this machine only, as localhost',
  ),
  shutTo: () => null,
  renewalFor: () => null,
};

export interface PhoneDoor extends Door {
  /** The phone that asks, where it may. */
  phoneOf(asked: Pick<Asked, 'cookie'>): Phone | null;
}

/** The door for phones. `names` are those of the certificate that is served now. */
export function phoneDoor(phones: Phones, names: () => LocalNames): PhoneDoor {
  const find = ({ cookie }: Pick<Asked, 'cookie'>) => phones.find(tokenOf(cookie));
  return {
    strangerTo: strangers(
      'https',
      (name) => hostsOf(names()).includes(name),
      'This server answers under the names of its certificate only',
    ),
    shutTo(asked) {
      const found = find(asked);
      if (typeof found !== 'string') {
        phones.touch(found);
        return null;
      }
      return { status: 401, sentence: why[found] };
    },
    renewalFor(asked) {
      const token = tokenOf(asked.cookie);
      const found = phones.find(token);
      if (token === undefined || typeof found === 'string' || !phones.wasAway(found)) return null;
      return cookieOf(token);
    },
    phoneOf(asked) {
      const found = find(asked);
      return typeof found === 'string' ? null : found;
    },
  };
}

const why = {
  none: 'This phone was not let in yet. Open the start page on the computer and pair it.',
  wrong: 'This phone is not let in any more. What it holds stays on it; pair it again to go on.',
  damaged:
    'What the computer kept of this phone cannot be read. What the phone holds stays on it; pair it again to go on.',
} as const;

/** The token in a Cookie header. With two of the name the browser's first counts, as it sends the one of this host first. */
function tokenOf(cookie: string | undefined): string | undefined {
  for (const pair of cookie?.split(';') ?? []) {
    const at = pair.indexOf('=');
    if (pair.slice(0, at).trim() === cookieName) return pair.slice(at + 1).trim();
  }
  return undefined;
}

/** The Set-Cookie header that gives a phone its token. Browsers keep it for at most 400 days. */
export const cookieOf = (token: string): string =>
  `${cookieName}=${token}; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age=${cookieDays * 86_400}`;
