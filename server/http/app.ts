/**
 * The server's addresses, behind one of its doors: what came under another name, from another page or, at the phones'
 * door, without a token is refused. A note, a clip or a file can be refused, never end the program.
 */

import { createHash } from 'node:crypto';
import { type Context, Hono, type MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { HTTPException } from 'hono/http-exception';
import type * as z from 'zod/mini';
import { isDeaf } from '../../grammar/decoding/clip-result.ts';
import { err, type Result } from '../../shared/core/result.ts';
import { journalFormat, UnfitError } from '../../shared/note/journal.ts';
import { reportStyle } from '../../shared/report/page/page.ts';
import {
  type Endpoints,
  endpoints,
  type FileFormat,
  type GrammarFormat,
  protocolVersion,
  type Reply,
  wireLimits,
} from '../../shared/wire.ts';
import { type Asked, type Door, ownDoor } from '../access/door.ts';
import { BusyError } from '../desk/busy.ts';
import type { Desk } from '../desk/desk.ts';
import { StoreError } from '../journal/store.ts';
import { readPcm16, readWav, type Sound, writeWav } from '../speech/audio.ts';
import type { ServerVoice } from '../speech/voice.ts';
import { fileResponse, type Mount } from './files.ts';
import { pagePolicy } from './page-policy.ts';

interface ServerParts {
  readonly desk: Desk;
  /** Program version, from package.json. */
  readonly version: string;
  /** Name of the book, without its folder; null for one in memory. */
  readonly book: string | null;
  /** Folders that are handed out; first match wins. */
  readonly mounts: readonly Mount[];
  /** Resolves when the page is built, or with the sentence why there is none; files wait for it, notes do not. */
  readonly page?: Promise<Result<unknown, string>>;
  /** Says sentences for a browser without a voice; missing, it is refused. */
  readonly voice?: ServerVoice;
  /** The day's report as a whole page. */
  readonly report: (desk: Desk) => string | Promise<string | ReadableStream<Uint8Array>>;
  /** A file of the book; the desk's own, at once, where missing. */
  readonly file?: (desk: Desk, format: FileFormat) => Promise<string | ReadableStream<Uint8Array>>;
  /** Who may ask; the machine's own door where missing. */
  readonly door?: Door;
  /** Pages that the door shows without a token. */
  readonly shownToAll?: Hono;
  /** Told of every failure that is the program's own. */
  readonly log?: (sentence: string, cause: unknown) => void;
}

/** What the page says of itself, and what only a header can say: nobody may frame it. */
const contentSecurityPolicy = [...pagePolicy, "frame-ancestors 'none'"].join('; ');

/** The report is one page with its style in it: that style and nothing else. */
const reportPolicy = `default-src 'none'; style-src 'sha256-${createHash('sha256').update(reportStyle).digest('base64')}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`;

const safetyHeaders: Readonly<Record<string, string>> = {
  'content-security-policy': contentSecurityPolicy,
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'microphone=(self), geolocation=(self), camera=(), payment=(), usb=()',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
};

/** What a page is made of and what never is one, nor a worker: it takes its policy from who loads it. */
const partOfPage = /^\/(main\.js|piece-[^/]*|[^/]*\.(css|bin))$/;
const partHeaders = {
  'cross-origin-resource-policy': 'same-origin',
  'x-content-type-options': 'nosniff',
} as const;

const grammarTypes: Readonly<Record<GrammarFormat, string>> = {
  help: 'text/plain; charset=utf-8',
  examples: 'text/plain; charset=utf-8',
  srgs: 'application/srgs+xml; charset=utf-8',
  abnf: 'application/srgs; charset=utf-8',
  jsgf: 'text/plain; charset=utf-8',
};
const exportTypes = {
  csv: 'text/csv; charset=utf-8; header=present',
  json: 'application/json',
  geojson: 'application/geo+json',
} as const;

const noPhones = 'No phones are let in here: this book is in memory.';

/** At two milliseconds a note the last of them waits a quarter of a second. */
const mostInOneTurn = 128;

export function createApp({
  desk,
  version,
  book,
  mounts,
  page,
  voice,
  report,
  file = async (of, format) => of.export(format),
  door = ownDoor,
  shownToAll,
  log = () => {},
}: ServerParts): Hono {
  const app = new Hono();

  app.use(async (c, next) => {
    await next();
    const headers = partOfPage.test(c.req.path) && c.res.status === 200 ? partHeaders : safetyHeaders;
    for (const [name, value] of Object.entries(headers))
      if (!c.res.headers.has(name)) c.res.headers.set(name, value);
    if (c.req.path.startsWith('/api/')) c.res.headers.set('cache-control', 'no-store');
  });

  app.use(async (c, next) => {
    const stranger = door.strangerTo(askedBy(c));
    if (stranger !== null) refuse(stranger.status, stranger.sentence);
    await next();
  });

  if (shownToAll !== undefined) app.route('/', shownToAll);

  app.use(async (c, next) => {
    // Asked first: who is let in counts as seen.
    const renewal = door.renewalFor(askedBy(c));
    const shut = door.shutTo(askedBy(c));
    if (shut !== null) {
      if (c.req.method === 'GET' && c.req.path === '/') return c.redirect('/pair', 303);
      c.header('www-authenticate', 'Pairing');
      return c.json({ refused: shut.sentence }, shut.status);
    }
    await next();
    if (renewal !== null) c.res.headers.append('set-cookie', renewal);
  });

  app.post('*', fewInOneTurn(mostInOneTurn));

  for (const { path } of [endpoints.sound, endpoints.hear])
    app.post(path, atMost(wireLimits.soundBytes, '30 seconds of sound'));
  app.post('*', atMost(wireLimits.jsonBytes, `${wireLimits.jsonBytes / 1024 ** 2} MiB`));

  app.get(endpoints.state.path, (c) => {
    const { book: now } = desk.session;
    return reply(c, 'state', {
      protocol: protocolVersion,
      version,
      grammar: desk.language.tongue.version,
      journalFormat,
      book,
      device: desk.store.device,
      hears: desk.deaf === null,
      deaf: desk.deaf,
      entries: now.entries.length,
      ...desk.counts,
      openDoubts: now.doubts.filter((doubt) => doubt.state === 'open').length,
      now: desk.now(),
    });
  });

  app.post(endpoints.note.path, async (c) => {
    const { words, position } = await jsonBody(c, endpoints.note.body);
    return reply(c, 'note', await desk.note(words, position));
  });

  app.post(endpoints.sound.path, async (c) => {
    const { rate, latitude, longitude, accuracy } = query(c, endpoints.sound.query);
    const sound = await soundOf(c, rate);
    if (!sound.ok) return reply(c, 'sound', await desk.refuse(sound.error));
    const position =
      latitude === undefined || longitude === undefined || accuracy === undefined
        ? undefined
        : { latitude, longitude, accuracyMetres: accuracy };
    return reply(c, 'sound', await desk.sound(sound.value, writeWav(sound.value.samples), position));
  });

  app.post(endpoints.hear.path, async (c) => {
    const sound = await soundOf(c, query(c, endpoints.hear.query).rate);
    if (!sound.ok) return reply(c, 'hear', err({ kind: 'unclear', message: sound.error }));
    const heard = await desk.hear(sound.value);
    // The page keeps the sound and asks again: it was not the sound that was wrong.
    if (!heard.ok && isDeaf(heard.error)) return refuse(503, heard.error.message);
    return reply(c, 'hear', heard);
  });

  app.get(endpoints.entries.path, async (c) => {
    const { after = 0, limit = 1000 } = query(c, endpoints.entries.query);
    const { entries, cursor } = await desk.store.since(after, limit + 1);
    if (entries.length <= limit) return reply(c, 'entries', { entries, cursor, more: false });
    const page = await desk.store.since(after, limit);
    return reply(c, 'entries', { ...page, more: true });
  });

  app.post(endpoints.push.path, async (c) => {
    const { entries } = await jsonBody(c, endpoints.push.body);
    return reply(c, 'push', await desk.push(entries));
  });

  app.get(endpoints.phones.path, async (c) => {
    const known = (await desk.phones?.list()) ?? err(noPhones);
    return known.ok ? reply(c, 'phones', { phones: known.value }) : refuse(404, known.error);
  });

  app.post(endpoints.phoneOut.path, async (c) => {
    const { id } = await jsonBody(c, endpoints.phoneOut.body);
    const done = (await desk.phones?.putOut(id)) ?? err(noPhones);
    return done.ok ? reply(c, 'phoneOut', { out: true }) : refuse(404, done.error);
  });

  app.get(endpoints.totals.path, (c) => reply(c, 'totals', { answers: desk.totals() }));

  app.get(endpoints.doubts.path, (c) => reply(c, 'doubts', { doubts: desk.doubts() }));

  app.get(endpoints.report.path, async (c) => {
    c.header('content-security-policy', reportPolicy);
    return c.body(await report(desk), 200, { 'content-type': 'text/html; charset=UTF-8' });
  });

  app.get(endpoints.export.path, async (c) => {
    const { format } = query(c, endpoints.export.query);
    return c.body(await file(desk, format), 200, {
      'content-type': exportTypes[format],
      'content-disposition': `attachment; filename="stemsay.${format}"`,
    });
  });

  app.get(endpoints.grammar.path, (c) => {
    const { format = 'help' } = query(c, endpoints.grammar.query);
    return c.body(desk.language.render(format), 200, { 'content-type': grammarTypes[format] });
  });

  app.get(endpoints.clip.path, async (c) => {
    const wav = await desk.store.clip(query(c, endpoints.clip.query).ref);
    if (wav === null) return refuse(404, 'There is no clip of that name in this book.');
    return c.body(Uint8Array.from(wav), 200, { 'content-type': 'audio/wav' });
  });

  app.get(endpoints.voice.path, async (c) => {
    const { say, rate = 1 } = query(c, endpoints.voice.query);
    const said = voice ? await voice.say(say, rate) : err('This server has no voice.');
    return said.ok ? c.body(said.value, 200, { 'content-type': 'audio/wav' }) : refuse(503, said.error);
  });

  app.all('/api/*', (c) => {
    const path = c.req.path;
    const known = Object.values(endpoints).filter((endpoint) => endpoint.path === path);
    if (known.length === 0) return refuse(404, `There is nothing at ${path}.`);
    c.header('allow', known.map((endpoint) => endpoint.method).join(', '));
    return refuse(405, `${path} does not take ${c.req.method}.`);
  });

  app.on(['GET', 'HEAD'], '*', async (c) => {
    const built = await page;
    const file = await fileResponse(mounts, c.req.raw);
    if (file !== null) return file;
    if (c.req.path === '/' && built?.ok === false) return refuse(404, built.error);
    return refuse(404, `There is nothing at ${c.req.path}.`);
  });

  app.notFound((c) => c.json({ refused: `There is nothing for ${c.req.method} at ${c.req.path}.` }, 404));

  app.onError((error, c) => {
    if (error instanceof HTTPException) return c.json({ refused: error.message }, error.status);
    if (error instanceof UnfitError) return c.json({ refused: error.message }, 422);
    if (error instanceof BusyError) {
      c.header('retry-after', '1');
      return c.json({ refused: error.message }, 503);
    }
    if (error instanceof StoreError) {
      log(error.message, error.cause);
      return c.json({ refused: error.message }, error.kind === 'full' ? 507 : 503);
    }
    // Whoever went away in the middle of a body is answered nothing, and nothing failed here.
    if (c.req.raw.signal.aborted) return c.json({ refused: 'The request broke off.' }, 400);
    log(`${c.req.method} ${c.req.path} failed`, error);
    return c.json({ refused: 'Something went wrong here; nothing of this was kept. Say it again.' }, 500);
  });

  return app;
}

/**
 * Requests that came together are answered one after another before anything else is: the last of many would wait for
 * seconds without a word. Beyond so many of them each is told to come again, which costs next to nothing.
 */
function fewInOneTurn(most: number): MiddlewareHandler {
  let begun = 0;
  return async (c, next) => {
    if (begun >= most) {
      c.header('retry-after', '1');
      return c.json(
        { refused: 'Too much at once. Nothing of this was kept; send it again in a moment.' },
        503,
      );
    }
    if (begun++ === 0)
      setImmediate(() => {
        begun = 0;
      });
    await next();
  };
}

/**
 * Bodies of at most so many bytes; `most` says it in words. A length that was announced holds, so that the body is not
 * looked at before it is asked for: to make a stream of it costs as much as all the rest of a short request.
 */
function atMost(maxSize: number, most: string): MiddlewareHandler {
  const onError = () => refuse(413, `That is more than one request may bring: at most ${most}.`);
  const counted = bodyLimit({ maxSize, onError });
  return (c, next) => {
    const announced = c.req.header('content-length');
    if (announced === undefined || c.req.header('transfer-encoding') !== undefined) return counted(c, next);
    return Number(announced) <= maxSize ? next() : onError();
  };
}

/** What a request says of itself. Where a page is opened by a link, no matter from where, its `site` does not count. */
function askedBy(c: Context): Asked {
  return {
    host: new URL(c.req.url).host,
    origin: c.req.header('origin'),
    site: c.req.path.startsWith('/api/') ? c.req.header('sec-fetch-site') : undefined,
    cookie: c.req.header('cookie'),
  };
}

function refuse(status: 400 | 401 | 403 | 404 | 405 | 413 | 415 | 422 | 503, sentence: string): never {
  throw new HTTPException(status, { message: sentence });
}

/** The sound in a body; what a microphone can do wrong is a sentence to say, a wrong file is a wrong request. */
async function soundOf(c: Context, rate: number | undefined): Promise<Result<Sound, string>> {
  const type = c.req.header('content-type')?.split(';')[0]?.trim().toLowerCase() ?? '';
  if (!(endpoints.sound.binary as readonly string[]).includes(type)) {
    refuse(
      415,
      `Expected a sound as audio/wav or audio/pcm, found ${type === '' ? 'no content type' : type}.`,
    );
  }
  const bytes = new Uint8Array(await c.req.arrayBuffer());
  const sound = type === 'audio/pcm' ? readPcm16(bytes, rate) : readWav(bytes);
  if (sound.ok) return sound;
  const { kind, message } = sound.error;
  if (kind === 'silent' || kind === 'empty' || kind === 'tooLong') return err(message);
  return refuse(422, message);
}

/** A JSON reply of the shape that the endpoint's schema has. */
function reply<K extends keyof Endpoints>(c: Context, _: K, value: Reply<K>): Response {
  return c.json(value as object);
}

async function jsonBody<S extends z.ZodMiniType>(c: Context, schema: S): Promise<z.output<S>> {
  const type = c.req.header('content-type')?.split(';')[0]?.trim().toLowerCase();
  if (type !== 'application/json')
    refuse(415, `Expected JSON (application/json), found ${type ?? 'no content type'}.`);
  let body: unknown;
  try {
    body = await c.req.json();
  } catch {
    refuse(400, 'Expected JSON; the body is not.');
  }
  return checked(schema, body, 'body');
}

function query<S extends z.ZodMiniType>(c: Context, schema: S): z.output<S> {
  return checked(schema, c.req.query(), 'address');
}

function checked<S extends z.ZodMiniType>(schema: S, value: unknown, where: string): z.output<S> {
  const read = schema.safeParse(value);
  if (read.success) return read.data;
  const issue = read.error.issues[0]!;
  return refuse(
    400,
    `The ${where} is not as expected: ${issue.path.join('.') || 'as a whole'}: ${issue.message}.`,
  );
}
