/** The addresses of the access room: pairing at the phones' door, the start page at the machine's own. */
import { type Context, Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import type { Codes } from './codes.ts';
import { type Asked, cookieOf, type PhoneDoor } from './door.ts';
import { type Markup, ownPageHeaders } from './look.ts';
import { certificatePage, pairingPage, phoneName } from './phone-pages.ts';
import type { Phones } from './phones.ts';
import { type LanAddresses, startPage } from './start-page.ts';

/** Bytes that a form of these pages brings at most. */
const formBytes = 2048;

/** The address that a request came from, where the server knows it. */
type Sender = (c: Context) => string;

function show(
  c: Context,
  markup: Markup,
  status: 200 | 400 | 403 | 404 | 429 = 200,
): Response | Promise<Response> {
  for (const [name, value] of Object.entries(ownPageHeaders)) c.header(name, value);
  return c.html(markup, status);
}

const small = bodyLimit({
  maxSize: formBytes,
  onError: (c) => c.json({ refused: 'That is more than a form brings.' }, 413),
});

/** The text fields of a form; files and lists in it count as missing. */
async function fieldsOf(c: Context): Promise<(name: string) => string> {
  const body = await c.req.parseBody().catch(() => ({}) as Record<string, unknown>);
  return (name) => {
    const value = Object.hasOwn(body, name) ? (body as Record<string, unknown>)[name] : undefined;
    return typeof value === 'string' ? value : '';
  };
}

interface PairingParts {
  readonly codes: Codes;
  readonly phones: Phones;
  readonly door: PhoneDoor;
  readonly sender: Sender;
  /** Told of each phone that was let in, and of each code that was spent by guessing. */
  readonly tell: (sentence: string) => void;
}

/** The one page of the phones' door that needs no token. */
export function pairingRoutes({ codes, phones, door, sender, tell }: PairingParts): Hono {
  const app = new Hono();
  const inAs = (c: Context): string | null =>
    door.phoneOf({ cookie: c.req.header('cookie') } satisfies Pick<Asked, 'cookie'>)?.name ?? null;
  app.get('/pair', (c) =>
    show(
      c,
      pairingPage({
        code: (c.req.query('code') ?? '').slice(0, 20),
        name: phoneName(c.req.header('user-agent') ?? ''),
        trouble: null,
        inAs: inAs(c),
      }),
    ),
  );
  app.post('/pair', small, async (c) => {
    const field = await fieldsOf(c);
    const [code, name] = [field('code'), field('name')];
    const tried = codes.try(code, sender(c));
    if (!tried.ok) {
      if (codes.state.kind === 'spent') tell('The pairing code is void: too many wrong ones were tried.');
      const waits = tried.sentence.startsWith('Too many wrong codes from');
      return show(
        c,
        pairingPage({ code: '', name: name.slice(0, 40), trouble: tried.sentence, inAs: inAs(c) }),
        waits ? 429 : 403,
      );
    }
    // Whatever token came along is not taken over: who is let in gets a new one.
    const { phone, token } = phones.add(name);
    tell(`${phone.name} was let in.`);
    c.header('set-cookie', cookieOf(token));
    c.header('cache-control', 'no-store');
    return c.redirect('/', 303);
  });
  return app;
}

interface StartParts {
  readonly codes: Codes;
  readonly phones: Phones;
  readonly fingerprint: string;
  readonly addresses: () => LanAddresses;
  readonly now: () => number;
  /** Told of the id of a phone that was put out. */
  readonly onOut: (id: string) => void;
}

/** The start page, for who sits at the computer. */
export function startRoutes({ codes, phones, fingerprint, addresses, now, onOut }: StartParts): Hono {
  const app = new Hono();
  app.get('/phones', (c) =>
    show(
      c,
      startPage({
        addresses: addresses(),
        code: codes.state,
        fingerprint,
        phones: phones.list(),
        now: now(),
      }),
    ),
  );
  app.post('/phones/code', small, (c) => {
    codes.make();
    return c.redirect('/phones', 303);
  });
  app.post('/phones/out', small, async (c) => {
    const id = (await fieldsOf(c))('id');
    if (phones.remove(id) !== null) onOut(id);
    return c.redirect('/phones', 303);
  });
  return app;
}

/** The third listener, plain HTTP on the local network: the certificate and how to install it, nothing else. */
export function certificateRoutes(
  certificate: Uint8Array,
  fingerprint: string,
  bookFor: (host: string) => string | null,
): Hono {
  const app = new Hono();
  app.use(async (c, next) => {
    await next();
    c.header('x-content-type-options', 'nosniff');
  });
  app.get('/', (c) => {
    const book = bookFor(new URL(c.req.url).hostname);
    if (book === null) return c.json({ refused: 'This server answers under its own names only.' }, 403);
    return show(c, certificatePage(book, fingerprint));
  });
  app.get('/authority.crt', (c) =>
    c.body(Uint8Array.from(certificate), 200, {
      'content-type': 'application/x-x509-ca-cert',
      'content-disposition': 'attachment; filename="stemsay-authority.crt"',
      'cache-control': 'no-store',
    }),
  );
  app.notFound((c) => c.json({ refused: 'There is only the certificate here.' }, 404));
  return app;
}
