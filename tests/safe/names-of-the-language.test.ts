/**
 * Names of what every object of the program's own language has ("constructor", "toString", "__proto__" ...) are words like
 * others, and a word without end is refused: over the addresses, the socket, the command line and the page's worker. What
 * was in the book before is there afterwards, and its totals are the same.
 */

import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import type { Hono } from 'hono';
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { WebSocket } from 'ws';
import { compile } from '../../grammar/automaton/compile.ts';
import { serialize } from '../../grammar/automaton/serialize.ts';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { Desk } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import { addListening } from '../../server/http/listen.ts';
import { openStore } from '../../server/journal/sqlite.ts';
import { createLanguage, type Language } from '../../server/language/language.ts';
import type { StreamParts } from '../../server/speech/streams.ts';
import { mostTaught } from '../../shared/book/taught.ts';
import { nothingBefore } from '../../shared/dialogue/told-before.ts';
import type { Act } from '../../shared/note/acts.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { lengths } from '../../shared/note/limits.ts';
import type { Note } from '../../shared/note/note.ts';
import { reportPage } from '../../shared/report/page/page.ts';
import { reportOf } from '../../shared/report/page/report.ts';
import {
  type ListenReply,
  listenPath,
  listenReplySchema,
  protocolVersion,
  refusalSchema,
  toldSchema,
} from '../../shared/wire.ts';
import { commandLine, ownFolder } from '../server/terminal.ts';
import { entryOf } from '../support/entries.ts';
import { fakeHearing, noon } from '../support/fakes.ts';
import { automaton } from '../support/language.ts';

/** Own names of the prototypes that values of notes have, as the running engine lists them; symbols cannot be typed. */
const names = [
  ...new Set([Object, Function, Array, String].flatMap((made) => Object.getOwnPropertyNames(made.prototype))),
];
/** Those that every object has by inheritance, which a plain object used as a table answers to. */
const inherited = Object.getOwnPropertyNames(Object.prototype);

const longWords = Array.from({ length: 2000 }, (_, at) => `word${at}`).join(' ');
/** A word of letters alone for a number, none of which is said of anything else. */
const lettered = (at: number) => `zz${[...String(at)].map((digit) => 'abcdefghij'[Number(digit)]).join('')}`;
const megabyte = 'a'.repeat(1_000_000);

/** No word is learnt in a process of its own here: what the book taught is compiled once, at the end. */
const own = createLanguage(grammar, automaton);
const language: Language = { ...own, taught: async () => language };

const folder = ownFolder();
const file = join(folder, 'alder-hollow.book');
let desk: Desk;
let app: Hono;
let sums: unknown;
const logged: unknown[] = [];

async function open(with_: Language): Promise<Desk> {
  const store = openStore(file);
  if (!store.ok) throw new Error(store.error.sentence);
  return Desk.open({ store: store.value, language: with_, now: noon });
}

beforeAll(async () => {
  desk = await open(language);
  app = createApp({
    desk,
    version: '0',
    book: 'alder-hollow.book',
    mounts: [],
    report: (of) => reportPage(reportOf({ book: of.session.book, answers: of.totals(), made: noon() })),
    log: (...what) => logged.push(what),
  });
  for (const words of [
    'my pace is five point three feet',
    'eye height five and a half',
    'plot one, tenth acre',
    'red oak fourteen two, two logs, eight paces',
    'beech nine',
    'sugar maple eleven, twelve paces',
    'close plot',
  ])
    expect((await desk.note(words)).answer.state).toBe('kept');
  sums = desk.totals();
});
afterAll(() => desk.close());

const at = (path: string) => `http://localhost:8417${path}`;
const get = async (path: string) => app.request(at(path));
const post = async (path: string, body: unknown) =>
  app.request(at(path), {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
const tell = async (words: string) => {
  // The server answers no more than so many in one turn.
  await turn();
  const response = await post('/api/note', { words });
  expect([words, response.status]).toEqual([words, 200]);
  return toldSchema.parse(await response.json());
};
const refused = async (response: Response, status: number) => {
  const { refused: sentence } = refusalSchema.parse(await response.json());
  expect([sentence, response.status]).toEqual([sentence, status]);
  expect(sentence).toMatch(/^[A-Z].*\.$/s);
  expect(sentence.length).toBeLessThan(1000);
  return sentence;
};

/** What a text has of an object of the program that was taken for a word. */
const leaked = (text: string) => /\[object \w+|\[native code|\bundefined\b|\bNaN\b/.exec(text)?.[0];

/** It answers, its totals are as they were, and nothing is set aside. */
async function whole(): Promise<void> {
  expect(logged).toEqual([]);
  expect(desk.aside).toEqual([]);
  expect((await get('/api/state')).status).toBe(200);
  expect(desk.totals()).toEqual(sums);
  for (const format of ['csv', 'json', 'geojson']) {
    const text = await (await get(`/api/export?format=${format}`)).text();
    expect(leaked(text)).toBeUndefined();
  }
  const report = await get('/api/report');
  expect(report.status).toBe(200);
  expect(leaked(await report.text())).toBeUndefined();
}

/** The ones that hurt most often elsewhere are said at every place of a note, the others at one each. */
const everywhere = ['constructor', 'toString', '__proto__', 'hasOwnProperty', 'valueOf'];

/** Every place of a note where a word stands that is not of the language. None of them counts a tree that stands. */
const places = [
  (name: string) => name,
  (name: string) => `the ${name} is here`,
  (name: string) => `12 ${name}`,
  (name: string) => `remark ${name}`,
  (name: string) => `my name is ${name}`,
  (name: string) => `attention word ${name}`,
  (name: string) => `call sugar maple ${name}`,
  (name: string) => `call hollow ${name}`,
  (name: string) => `call ${name} ridge maple`,
  (name: string) => `new word ${name} means red pine`,
  (name: string) => `how many trees by ${name}`,
  (name: string) => `how many ${name}`,
  (name: string) => `mean height of ${name}`,
  (name: string) => `volume per acre by ${name}`,
  (name: string) => `help ${name}`,
  (name: string) => `price of ${name} two hundred dollars a thousand`,
];

describe('as words of a note that comes over an address', () => {
  test('every name is answered at every place', async () => {
    for (const [nth, name] of names.entries()) {
      const said = everywhere.includes(name) ? places : [places[nth % places.length]!];
      for (const place of said) {
        const { answer } = await tell(place(name));
        expect(leaked(answer.reply)).toBeUndefined();
        if (answer.state === 'asking') await tell('never mind');
      }
    }
    await whole();
  });
});

/** What a device may bring under a name, one entry for each place of an act where a word stands. */
const broughtActs = (name: string, id: string): Act[][] => [
  [{ act: 'setting', set: { what: 'person', name } }],
  [{ act: 'setting', set: { what: 'attention', word: name } }],
  [{ act: 'stand', id, name, acres: 10 }],
  [{ act: 'stratum', id, name, acres: 4 }],
  [{ act: 'word', word: name, species: 318 }],
  [{ act: 'word', word: `${name} two`, mark: name }],
  [{ act: 'remark', text: name, tree: null, plot: null }],
  [{ act: 'tree', id, fields: { called: name, diameterIn: 12, marks: [name] } }],
];
/** Notes with such a name as a species, a place, a person. */
const broughtNotes = (name: string): Note[] => [
  { kind: 'tree', facts: { species: name, marks: [name], diameter: { value: 12 } } },
  { kind: 'ask', about: 'trees', scope: { species: name, stratum: name, person: name } },
  { kind: 'ask', about: 'help', topic: name },
  { kind: 'pick', what: 'named', word: name },
  { kind: 'call', word: name, species: name },
  { kind: 'traverse', op: 'start', stand: name, stratum: name },
];

/** A book of its own with all that, so that the totals of the other stay what they are. */
async function broughtBook(path: string, to: (entries: Entry[]) => Promise<void>) {
  expect(path).not.toBe(file);
  const brought = inherited.flatMap((name, nth) => {
    const acts = broughtActs(name, '');
    const said = broughtNotes(name);
    return acts.map((_, place): Entry => {
      const base = entryOf(1 + nth * acts.length + place, 'constructor');
      const note = said[place % said.length]!;
      return {
        ...base,
        words: name,
        note,
        acts: broughtActs(name, base.id)[place]!,
        person: name,
        seen: Object.fromEntries(everywhere.slice(0, 2).map((other, at) => [other, at + 1])),
      };
    });
  });
  await to(brought);
  return brought;
}

describe('as words of entries that a device brings', () => {
  test('they are in the book as they came, which opens again with them, is told, written and checked', async () => {
    const path = join(folder, 'brought.book');
    const opened = async () => {
      const store = openStore(path);
      if (!store.ok) throw new Error(store.error.sentence);
      return Desk.open({ store: store.value, language, now: noon });
    };
    const first = await opened();
    const door = createApp({
      desk: first,
      version: '0',
      book: 'brought.book',
      mounts: [],
      report: (of) => reportPage(reportOf({ book: of.session.book, answers: of.totals(), made: noon() })),
      log: (...what) => logged.push(what),
    });
    const brought = await broughtBook(path, async (entries) => {
      const response = await door.request(at('/api/entries'), {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ entries }),
      });
      expect(await response.json()).toEqual({ added: entries.length, cursor: entries.length });
    });
    const pulled = await (await door.request(at('/api/entries'))).json();
    expect(pulled.entries).toEqual(brought);
    for (const name of inherited)
      for (const words of [`how many trees by ${name}`, `who is ${name}`])
        expect(leaked((await first.note(words)).answer.reply)).toBeUndefined();
    const before = first.totals();
    const { book } = first.session;
    expect([...book.stands.values()].map(({ name }) => name)).toEqual(inherited);
    expect([...book.strata.values()].map(({ name }) => name)).toEqual(inherited);
    expect([...book.trees()].flatMap(({ marks }) => marks)).toEqual(inherited);
    expect([...book.trees()].map(({ called }) => called)).toEqual(inherited);
    expect(book.taught.words.map(({ word }) => word)).toEqual(
      inherited.flatMap((name) => [name.toLowerCase(), `${name.toLowerCase()} two`]),
    );
    expect((await door.request(at('/api/report'))).status).toBe(200);
    await first.close();

    const again = await opened();
    expect(again.aside).toEqual([]);
    expect(again.totals()).toEqual(before);
    expect(again.session.book.taught).toEqual(book.taught);
    await again.close();
    expect((await commandLine(language)(['check', '--book', path])).status).toBe(0);

    // All of it together is still a language: what was taught is what it says, and nothing else has changed.
    const { words, names: known } = book.taught;
    const taught = createLanguage(
      withUserWords(grammar, words, known),
      compile(withUserWords(grammar, words)),
    );
    for (const name of inherited)
      if (/^[a-z]+$/i.test(name))
        expect(taught.read(`${name.toLowerCase()} 14 inches`)).toMatchObject({
          ok: true,
          value: [{ notes: [{ kind: 'tree', facts: { species: 318 } }] }],
        });
    expect(taught.read('red oak 14 inches')).toEqual(own.read('red oak 14 inches'));
  });

  test.each([
    ['as a field that no entry has', (name: string) => `{"${name}":1,`],
    ['as the kind of a note', (name: string) => `{"note":{"kind":"${name}"},`],
    ['as an act', (name: string) => `{"acts":[{"act":"${name}"}],`],
    [
      'as a species by its code',
      (name: string) => `{"acts":[{"act":"word","word":"a","species":"${name}"}],`,
    ],
    ['as a setting', (name: string) => `{"acts":[{"act":"setting","set":{"what":"${name}"}}],`],
  ])('%s they are refused, and nothing that came with them is kept', async (_, part) => {
    const { id, note, acts, ...rest } = entryOf(900, 'd-two');
    for (const name of names) {
      const begin = part(name);
      const others = JSON.stringify({
        id,
        ...(begin.includes('"note"') ? {} : { note }),
        ...(begin.includes('"acts"') ? {} : { acts }),
        ...rest,
      });
      await turn();
      const sentence = await refused(
        await post('/api/entries', `{"entries":[${begin}${others.slice(1)}]}`),
        400,
      );
      expect(sentence).toMatch(/^The body is not as expected: entries\.0/);
    }
    await whole();
  });
});

describe('as part of an address', () => {
  test('a path that is such a name leads nowhere, one that asks for it is told what is wrong', async () => {
    for (const name of names) {
      await turn();
      await refused(await get(`/${name}`), 404);
      // The entries of the book are an address of its own.
      if (name !== 'entries') await refused(await get(`/api/${name}`), 404);
      for (const query of [`${name}=1`, `after=${name}`, `limit=${name}`, `limit=1&${name}`])
        expect([query, (await get(`/api/entries?${query}`)).status]).toEqual([query, 400]);
      await refused(await get(`/api/export?format=${name}`), 400);
      await refused(await get(`/api/grammar?format=${name}`), 400);
      await refused(await get(`/api/clip?ref=${name}`), 400);
      await refused(await post('/api/note', `{"words":"nine paces","${name}":1}`), 400);
    }
    await whole();
  });
});

describe('words without end', () => {
  test.each<[string, number, (long: string) => Promise<Response>]>([
    ['as a note', 400, (long) => post('/api/note', { words: long })],
    ['as a remark', 400, (long) => post('/api/note', { words: `remark ${long}` })],
    ['as a query', 400, (long) => get(`/api/export?format=${encodeURIComponent(long)}`)],
    ['as the name of a clip', 400, (long) => get(`/api/clip?ref=${encodeURIComponent(long)}`)],
    ...broughtActs('', entryOf(901).id).map(
      (_, place): [string, number, (long: string) => Promise<Response>] => [
        `in the act ${JSON.stringify(broughtActs('NAME', '')[place])} of an entry`,
        400,
        (long) => {
          const base = entryOf(901, 'd-two');
          return post('/api/entries', { entries: [{ ...base, acts: broughtActs(long, base.id)[place] }] });
        },
      ],
    ),
    ...broughtNotes('').map((_, place): [string, number, (long: string) => Promise<Response>] => [
      `in the note ${JSON.stringify(broughtNotes('NAME')[place])} of an entry`,
      400,
      (long) =>
        post('/api/entries', { entries: [{ ...entryOf(901, 'd-two'), note: broughtNotes(long)[place] }] }),
    ]),
  ])('%s are refused with a sentence', async (_, status, send) => {
    for (const long of [longWords, megabyte]) await refused(await send(long), status);
    expect(desk.totals()).toEqual(sums);
  });

  test('of as many letters as a note may have are refused as a nickname, a person, a stand and an attention word', async () => {
    for (const begin of ['call sugar maple', 'new word', 'my name is', 'stand', 'attention word']) {
      const { answer } = await tell(`${begin} ${longWords}`.slice(0, lengths.words));
      expect([begin, answer.state]).toEqual([begin, 'refused']);
      expect(answer.reply.length).toBeLessThan(500);
    }
    await whole();
  });

  test('as two thousand words of a book’s own are held, and the newest of them are learnt', async () => {
    const taught = Array.from({ length: 2000 }, (_, at): Entry => {
      const base = entryOf(1 + at, 'd-list');
      return { ...base, acts: [{ act: 'word', word: lettered(at), species: 318 }] };
    });
    const store = openStore(join(folder, 'words.book'));
    if (!store.ok) throw new Error(store.error.sentence);
    const listed = await Desk.open({ store: store.value, language, now: noon });
    expect(await listed.push(taught)).toMatchObject({ added: 2000 });
    expect((await listed.note('call red pine pitch tree')).answer).toMatchObject({
      state: 'refused',
      reply: `This book has ${mostTaught} words of your own, and holds no more. Scratch one that nobody says.`,
    });
    expect((await listed.note('red oak fourteen inches')).answer.state).toBe('kept');
    await listed.close();
    const { words } = listed.session.book.taught;
    expect(words).toHaveLength(2000);
    const learnt = JSON.stringify(withUserWords(grammar, words)).match(/\bzz[a-j]+\b/g);
    expect([...new Set(learnt)]).toEqual(words.slice(-mostTaught).map(({ word }) => word));
  });
});

describe('on the listening socket', () => {
  test('they are attention words like others; as anything else, and without end, they end the socket and not the server', async () => {
    const wakeWords: (string | null)[] = [];
    const server = createServer((_, response) => response.end());
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const listening = {
      follow: (parts: StreamParts) => {
        wakeWords.push(parts.wakeWord);
        queueMicrotask(() => parts.ready('energy'));
        return { waiting: 0, push() {}, attend() {}, close() {} };
      },
    };
    const end = addListening(server, async () => listening);
    const url = `ws://localhost:${(server.address() as AddressInfo).port}`;
    /** What is told of one message, or of the end of the socket. */
    const told = (message: string): Promise<ListenReply | number> =>
      new Promise((resolve, reject) => {
        const socket = new WebSocket(url + listenPath, { headers: { origin: url.replace('ws', 'http') } });
        socket.on('open', () => socket.send(message));
        socket.on('message', (data) => {
          resolve(listenReplySchema.parse(JSON.parse(String(data))));
          socket.terminate();
        });
        socket.on('close', resolve);
        socket.on('error', reject);
      });
    const begin = (wakeWord: string) =>
      `{"type":"begin","protocol":${protocolVersion},"wakeWord":"${wakeWord}"`;
    try {
      for (const name of inherited) {
        expect(await told(`${begin(name)}}`)).toMatchObject({ type: 'ready' });
        for (const wrong of [`{"type":"${name}"}`, `${begin('sprig')},"${name}":1}`])
          expect(await told(wrong)).toMatchObject({ type: 'refused', refused: expect.stringMatching(/\.$/) });
      }
      expect(wakeWords).toEqual(inherited);
      expect(await told(`${begin(longWords)}}`)).toMatchObject({ type: 'refused' });
      // Message too big: RFC 6455, section 7.4.1.
      expect(await told(`${begin(megabyte)}}`)).toBe(1009);
      expect(await told(`${begin('sprig')}}`)).toMatchObject({ type: 'ready' });
    } finally {
      end();
      server.closeAllConnections();
      server.close();
    }
  });
});

describe('on the command line', () => {
  const stemsay = commandLine(language, fakeHearing);
  test('a note of each is one answer a line, and a note without end is refused between two that are kept', async () => {
    const book = join(folder, 'typed.book');
    const lines = [...inherited, 'red oak 14 inches', longWords, megabyte, 'beech 9 inches'];
    const { answers } = await stemsay(['note', '--json', '--book', book], lines.join('\n'));
    const states = answers().map(({ state }) => state);
    expect(states).toHaveLength(lines.length);
    expect(states.slice(-4)).toEqual(['kept', 'refused', 'refused', 'kept']);
    for (const { reply } of answers()) expect(leaked(reply)).toBeUndefined();
    const long = await stemsay(['note', '--json', '--book', book, megabyte]);
    expect(long.answers()).toMatchObject([{ state: 'refused', reply: expect.stringContaining('2000') }]);
    expect((await stemsay(['check', '--book', book])).status).toBe(0);
    expect((await stemsay(['totals', '--book', book])).lines[0]).toMatch(/^Trees: .*2/);
  });

  test('as a command, an option or a format they are refused with a sentence', async () => {
    for (const name of names)
      for (const given of [[name], ['note', `--${name}`, 'beech 9 inches'], ['grammar', '--format', name]]) {
        const { status, out, err } = await stemsay(given);
        expect([given, status, out]).toEqual([given, 2, '']);
        expect(err).toMatch(/^[^\n]+\n"stemsay --help" shows all commands\.\n$/);
      }
  });
});

describe('in the worker of the page', () => {
  afterEach(() => vi.unstubAllGlobals());
  test('they are read and taught like others, and what has no end is answered', async () => {
    const packed = serialize(automaton);
    const waiting = new Map<number, (reply: { ok: boolean; value?: unknown; sentence?: string }) => void>();
    let hear: (event: { data: unknown }) => void = () => {};
    vi.stubGlobal('location', { href: 'http://localhost:8417/worker.js' });
    vi.stubGlobal('LEARNED_FILE', 'learned.bin');
    vi.stubGlobal('SPOKEN_FILE', 'spoken.bin');
    let bring = () => {};
    const brought = new Promise<void>((resolve) => {
      bring = resolve;
    });
    vi.stubGlobal('fetch', async (address: URL) => {
      if (address.pathname !== '/language.bin') return new Response('', { status: 404 });
      await brought;
      return new Response(Uint8Array.from(packed));
    });
    vi.stubGlobal('addEventListener', (_: string, listener: typeof hear) => {
      hear = listener;
    });
    vi.stubGlobal('postMessage', (reply: { id: number; ok: boolean }) => waiting.get(reply.id)?.(reply));
    await import('../../client/worker.ts');
    let asked = 0;
    const ask = (task: string, given: unknown) =>
      new Promise<{ ok: boolean; value?: unknown; sentence?: string }>((resolve) => {
        waiting.set(++asked, resolve);
        hear({ data: { id: asked, task, given } });
      });
    // As the page asks: what takes readers that are not here is asked for again with as long as they take to come.
    const read = async (words: string) => {
      const quick = await ask('read', { words, before: nothingBefore });
      return quick.ok && quick.value === null ? ask('fetchAndRead', { words, before: nothingBefore }) : quick;
    };
    expect(await ask('read', { words: 'red maple nine inches', before: nothingBefore })).toMatchObject({
      ok: true,
      value: null,
    });
    bring();
    expect(
      await ask('fetchAndRead', { words: 'red maple nine inches', before: nothingBefore }),
    ).toMatchObject({ value: { ok: true } });
    expect(await ask('read', { words: 'red maple nine inches', before: nothingBefore })).toMatchObject({
      value: { ok: true },
    });
    for (const name of everywhere) {
      expect(await read(`remark ${name}`)).toMatchObject({
        ok: true,
        value: { ok: true, value: [{ notes: [{ kind: 'remark' }] }] },
      });
      expect(await read(`12 ${name}`)).toMatchObject({ ok: true });
    }
    for (const long of [longWords, megabyte])
      expect(await read(long)).toMatchObject({ ok: true, value: { ok: false } });
    const words = everywhere.map((name) => ({ word: name.toLowerCase(), species: 318 }));
    expect(await ask('teach', { words, names: everywhere })).toEqual({ id: asked, ok: true, value: null });
    expect(await read('constructor 14 inches')).toMatchObject({
      value: { ok: true, value: [{ notes: [{ kind: 'tree', facts: { species: 318 } }] }] },
    });
  });
});

test('after all of that the book opens again, is checked whole and has the totals it had', async () => {
  await whole();
  const entries = (await desk.store.since(0)).entries;
  await desk.close();
  expect((await commandLine(language)(['check', '--book', file])).status).toBe(0);
  desk = await open(language);
  expect(desk.aside).toEqual([]);
  expect((await desk.store.since(0)).entries).toEqual(entries);
  expect(desk.totals()).toEqual(sums);
});
