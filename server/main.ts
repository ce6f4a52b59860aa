/** Composition root of the server: reads the environment, opens the book, starts to listen and says where. */
import type { Server as HttpServer } from 'node:http';
import { join, sep } from 'node:path';
import { parseArgs } from 'node:util';
import { serve } from '@hono/node-server';
import { ok, type Result } from '../shared/core/result.ts';
import { phoneKeeper } from './access/keeper.ts';
import { Lan } from './access/lan.ts';
import { phonesLetIn } from './access/phones.ts';
import { boundRequests, timeLimits } from './access/slow-requests.ts';
import { spaced } from './access/start-page.ts';
import { versionOf } from './commands/usage.ts';
import { Desk } from './desk/desk.ts';
import { Printing } from './desk/printing.ts';
import { Voices } from './desk/voices.ts';
import { createApp } from './http/app.ts';
import { failureText } from './http/failures.ts';
import type { Mount } from './http/files.ts';
import { addListening, type Listening } from './http/listen.ts';
import { bookTitle, openBook } from './journal/books.ts';
import { type Store, StoreError } from './journal/store.ts';
import { createLanguage } from './language/language.ts';
import { folderBeside } from './program/own-files.ts';
import { places, root, runtimeFolder, shipped } from './program/places.ts';
import { createDictation } from './speech/dictation.ts';
import { createHearing } from './speech/hear.ts';
import { createServerVoice } from './speech/voice.ts';

const defaultPort = 8417;

/** What the page may fetch: itself, the acoustic model, and the runtime that runs it in the page. */
const mounts: readonly Mount[] = [
  { prefix: '/model/', folder: places.model },
  { prefix: '/voice-activity/', folder: places.voiceActivity, only: /\.onnx$/ },
  { prefix: '/runtime/', folder: runtimeFolder(), only: /^ort-wasm[a-z-]*\.wasm$/ },
  { prefix: '/', folder: places.page },
];

const { book, deaf, lan: onLan } = argumentsOf();
const port = portOf(process.env.PORT);

const store = await openBook(book);
if (!store.ok) stop(store.error.sentence);

const lan = onLan ? await openLan() : null;

// Listening comes first, so that a taken port is known at once; requests wait the moment until the book is read.
let desk: Desk | undefined;
/** What both doors serve. */
type AppParts = Parameters<typeof createApp>[0];
let ready: (parts: AppParts) => void;
const parts = new Promise<AppParts>((resolve) => {
  ready = resolve;
});
const app = parts.then((known) => createApp({ ...known, ...(lan ? { shownToAll: lan.startPages } : {}) }));
const voice = createServerVoice();
const printing = new Printing();
let hears: (listening: Listening | string) => void;
const listening = new Promise<Listening | string>((resolve) => {
  hears = resolve;
});
const server = serve(
  {
    fetch: async (request, env) => (await app).fetch(request, env),
    port,
    hostname: '127.0.0.1',
    serverOptions: timeLimits,
  },
  (at) => {
    console.log(`stemsay is at http://localhost:${at.port}`);
    console.log(`Book: ${bookTitle(book)}. Stop with Ctrl-C.`);
    void start(store.value);
    if (lan) void openToPhones(lan, at.port, store.value);
  },
);
boundRequests(server as HttpServer);
addListening(server as HttpServer, () => listening);
server.on('error', async (error: NodeJS.ErrnoException) => {
  await (desk ?? store.value).close();
  if (error.code === 'EADDRINUSE') stop(`Port ${port} is taken. Choose another: PORT=${port + 1} npm start`);
  if (error.code === 'EACCES') {
    stop(`Port ${port} may not be used here. Choose one from 1024: PORT=${defaultPort} npm start`);
  }
  stop(`The server cannot listen: ${error.message}`);
});

async function start(open: Store): Promise<void> {
  const page = pageOf();
  void page.then((built) => built.ok || console.error(built.error));
  // Hearing loads in a process of its own while the book is read.
  const hearing = deaf ? undefined : createHearing({ onTrouble: (sentence) => console.error(sentence) });
  hears(hearing ?? 'Hearing is switched off here. Type the note.');
  try {
    const language = createLanguage();
    desk = await Desk.open({
      store: open,
      language,
      onTrouble: (sentence) => console.error(sentence),
      phones: phoneKeeper(phonesLetIn(book), (sentence) => console.log(sentence)),
      ...(hearing ? { hearing, dictation: createDictation(), voices: new Voices(book) } : {}),
    });
  } catch (cause) {
    // Whatever it was: a port that answers nobody helps nobody.
    await Promise.allSettled([open.close(), hearing?.close()]);
    if (cause instanceof StoreError) stop(cause.message);
    stop(`${bookTitle(book)} cannot be opened: ${cause instanceof Error ? cause.message : cause}.`);
  }
  desk.learn();
  for (const sentence of desk.aside) console.error(sentence);
  ready({
    desk,
    version: versionOf(),
    book: bookTitle(book),
    mounts,
    page,
    voice,
    report: (of) => printing.print(of, { kind: 'report', made: Date.now() }),
    file: (of, format) => printing.print(of, { kind: 'file', format, table: 'all', made: Date.now() }),
    log: (sentence, cause) => console.error(sentence, failureText(cause)),
  });
}

/** The page is there already in a package; in a checkout it is built from what the sources are now. */
async function pageOf(): Promise<Result<unknown, string>> {
  if (shipped !== null) return ok(null);
  const { buildPage } = await import('./http/page-build.ts');
  return buildPage(root);
}

async function openLan(): Promise<Lan> {
  const opened = await Lan.open({
    folder: folderBeside(book, 'access'),
    // The two ports after the book's own.
    ports: port === 0 ? { book: 0, certificate: 0 } : { book: port + 1, certificate: port + 2 },
    tell: (sentence) => console.log(sentence),
  });
  return opened.ok ? opened.value : stop(opened.error);
}

/** Opens the phones' door and says what a person at the computer does next. */
async function openToPhones(open: Lan, at: number, kept: Store): Promise<void> {
  const door = parts.then((known) => createApp({ ...known, door: open.door, shownToAll: open.openToAll }));
  const listens = await open.listen(
    async (request, env) => (await door).fetch(request, env),
    (phones) => addListening(phones, () => listening, open.door),
  );
  if (!listens.ok) {
    await (desk ?? kept).close();
    stop(listens.error);
  }
  const [address] = open.addresses.book;
  const { state } = open.codes;
  console.log(
    address === undefined
      ? 'Phones: this machine has no address on a local network yet; it is looked for every few seconds.'
      : `Phones: ${address}${state.kind === 'open' ? `, code ${spaced(state.code)}` : ''}.`,
  );
  console.log(`The pictures to scan are at http://localhost:${at}/phones`);
}

// What was acknowledged is durable already; closing only makes the book one file again.
for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  process.once(signal, () => {
    server.close();
    lan?.close();
    void (desk ?? store.value).close().finally(() => process.exit(0));
  });
}
// A mistake in one request must not end the day's work.
for (const event of ['uncaughtException', 'unhandledRejection'] as const)
  process.on(event, (error: unknown) =>
    console.error('Something failed and was left out:', failureText(error)),
  );

function argumentsOf(): { book: string; deaf: boolean; lan: boolean } {
  try {
    const { values } = parseArgs({
      options: { book: { type: 'string' }, deaf: { type: 'boolean' }, lan: { type: 'boolean' } },
    });
    return {
      book: values.book ?? process.env.STEMSAY_BOOK ?? join(homeOf(root), 'books', 'field.book'),
      deaf: values.deaf ?? false,
      lan: values.lan ?? false,
    };
  } catch (cause) {
    return stop(
      `${cause instanceof Error ? cause.message : cause}\nUsage: npm start [-- [--book FILE] [--deaf] [--lan]]; --deaf: typed notes only; --lan: phones on the local network may be let in.`,
    );
  }
}

/** Where books are by default: with the program, but never inside what npm replaces when it updates a package. */
function homeOf(folder: string): string {
  return folder.split(sep).includes('node_modules') ? process.cwd() : folder;
}

function portOf(text: string | undefined): number {
  if (text === undefined || text === '') return defaultPort;
  const number = Number(text);
  if (Number.isInteger(number) && number >= 0 && number <= 65_535) return number;
  return stop(`PORT must be a whole number up to 65535 (0: any free one); it is "${text}".`);
}

function stop(sentence: string): never {
  console.error(sentence);
  process.exit(1);
}
