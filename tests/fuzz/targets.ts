/**
 * What is fuzzed: each target takes any bytes, and throws where a promise is broken. Nothing may throw by itself, hang, or
 * take in what its own schema refuses.
 */
import { EventEmitter } from 'node:events';
import { readFileSync } from 'node:fs';
import type { IncomingMessage, Server } from 'node:http';
import { Duplex } from 'node:stream';
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { deserialize } from '../../grammar/automaton/serialize.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import { addListening, type Listening } from '../../server/http/listen.ts';
import { readRow, sumNow } from '../../server/journal/rows.ts';
import { readPcm16, readWav, writeWav } from '../../server/speech/audio.ts';
import { Book } from '../../shared/book/book.ts';
import { seeded } from '../../shared/core/random.ts';
import { Session } from '../../shared/dialogue/session.ts';
import { deviceId, type Entry, entrySchema, MemoryJournal } from '../../shared/note/journal.ts';
import { lengths } from '../../shared/note/limits.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { fromJson, toJson } from '../../shared/report/files/entries.ts';
import { entriesOfTable } from '../../shared/report/files/import-tables.ts';
import { fromCsv } from '../../shared/report/files/read-tables.ts';
import { toCsv } from '../../shared/report/files/tables.ts';
import { woodOf } from '../../shared/report/files/wood.ts';
import {
  endpoints,
  listenPath,
  listenReplySchema,
  listenRequestSchema,
  protocolVersion,
} from '../../shared/wire.ts';
import { entriesOf, idOf } from '../support/entries.ts';
import { createJudge } from './kept-wrongly.ts';
import { Bytes, jsonOf, mutated } from './mutate.ts';
import { makerNames, makers } from './random-strings.ts';

export interface Target {
  /** What is done with every input. */
  readonly fuzz: (data: Uint8Array) => void | Promise<void>;
  /** Good inputs to begin with. */
  readonly seeds: readonly Uint8Array[];
  /** Its inputs lead nowhere by themselves: run without looking what has run, twice as fast. */
  readonly blind?: true;
}

const utf8 = (text: string) => new TextEncoder().encode(text);

function must(holds: boolean, what: string): asserts holds {
  if (!holds) throw new Error(what);
}

const says = (sentence: string) => must(sentence.trim().length > 3, 'a refusal that says nothing');

/** The automaton of the program, handed over by `run.ts`. */
function automaton(): Automaton {
  const read = deserialize(readFileSync(process.env.FUZZ_AUTOMATON!));
  if (!read.ok) throw new Error(read.error);
  return read.value;
}

/** Some entries of many kinds: plots, trees, settings, remarks, corrections. */
function entries(): Entry[] {
  const [first, second, ...more] = entriesOf(6) as [Entry, Entry, ...Entry[]];
  const id = (n: number) => idOf(1_780_000_100_000 + n, n);
  const said = (n: number, note: unknown, acts: unknown[]): unknown => ({
    ...second,
    id: id(n),
    seq: 10 + n,
    time: second.time + 10 + n,
    note,
    acts,
  });
  const plot = { by: 'radius', length: { value: 37.2, unit: 'ft' } };
  const made = [
    said(1, { kind: 'tree', facts: { species: 833, diameter: { value: 16, unit: 'in' } } }, [
      { act: 'tree', id: id(1), fields: { species: 833, diameterIn: 16 } },
    ]),
    said(2, { kind: 'scratch' }, [{ act: 'retract', targets: [id(1)] }]),
    said(3, { kind: 'remark', text: 'leaning' }, [
      { act: 'remark', text: 'leaning', tree: id(1), plot: null },
    ]),
    said(4, { kind: 'setting', set: { what: 'pace', length: { value: 5, unit: 'ft' } } }, [
      { act: 'setting', set: { what: 'pace', feet: 5 } },
    ]),
    said(5, { kind: 'scratch' }, [{ act: 'plot', id: id(5), number: 1, size: plot }]),
    said(6, { kind: 'scratch' }, [{ act: 'word', word: 'hard rock', species: 318 }]),
  ];
  const fit = made.flatMap((one) => {
    const read = entrySchema.safeParse(one);
    return read.success ? [read.data] : [];
  });
  return [first, second, ...more, ...fit];
}

/** A book takes whatever its schema takes. */
function folds(taken: readonly Entry[]): void {
  const book = new Book();
  book.applyAll([...taken]);
  void [...book.trees()].length;
}

/** Any text, told to a book: no throw, no hang, and what no book can hold is refused with a sentence. */
function reader(): Target {
  const understand = createUnderstanding(automaton(), grammar);
  const tongue = createTongue(grammar, () => parseDescription(grammar));
  return {
    async fuzz(data) {
      const words = new TextDecoder().decode(data).slice(0, lengths.words);
      const read = understand(words);
      if (!read.ok) return says(read.error);
      if (read.value.every(({ notes }) => notes.every((note) => noteSchema.safeParse(note).success))) return;
      const journal = new MemoryJournal();
      let ids = 0;
      const session = await Session.open(journal, tongue, {
        device: deviceId('d-fuzz'),
        now: () => 1_780_000_000_000,
        id: (time) => idOf(time, ids++),
      });
      const { answer } = await session.tell({ words, candidates: read.value });
      says(answer.reply);
      const { entries: kept } = await journal.since(0);
      must((answer.state === 'refused') === (kept.length === 0), 'refused and kept');
    },
    seeds: [
      'eight paces, eye five and a half',
      'red oak sixteen inches',
      'plot one, tenth acre',
      'not eleven, twelve',
      'call sugar maple hard rock',
      'ate paces i five and a harf',
      'two logs, then nine paces',
    ].map(utf8),
  };
}

/** Random words and random letters, of which none is kept wrongly: the bytes of the input are only a number to draw by. */
function strings(): Target {
  const language = automaton();
  const judge = createJudge(language);
  const made = makers(language);
  return {
    fuzz(data) {
      const bytes = new Bytes(data);
      const random = seeded(bytes.byte() * 2 ** 24 + bytes.byte() * 2 ** 16 + bytes.below(65_536));
      const maker = makerNames[(data.at(-1) ?? 0) % makerNames.length]!;
      const text = made[maker]((n) => Math.floor(random() * n));
      const verdict = judge(text);
      if (typeof verdict !== 'string')
        throw new Error(
          `kept without a question: ${JSON.stringify(text)} as "${verdict.kept}": ${verdict.why}`,
        );
    },
    seeds: [Uint8Array.of(0, 0, 0, 1, 0)],
    blind: true,
  };
}

function sound(): Target {
  const checked = (read: ReturnType<typeof readWav>) => {
    if (!read.ok) return says(read.error.message);
    const { samples } = read.value;
    must(samples.length > 0 && samples.length <= 30.5 * 16_000, `a sound of ${samples.length} samples`);
    // The sentence is made for a bad one only: there are thousands.
    for (const one of samples) if (!(Math.abs(one) <= 1)) throw new Error(`a sample of ${one}`);
  };
  const wave = (n: number) => Float32Array.from({ length: n }, (_, i) => Math.sin(i / 9) / 2);
  return {
    fuzz(data) {
      const rates = [undefined, 8000, 16_000, 22_050, 44_100, 48_000];
      checked(readWav(data));
      // Bare samples have no parts: a few tell as much as many.
      checked(readPcm16(data.subarray(1, 200), rates[(data[0] ?? 0) % rates.length]));
    },
    seeds: [
      writeWav(wave(90)),
      writeWav(wave(40), 8000),
      writeWav(wave(130), 44_100),
      writeWav(wave(60).map(Math.sign), 16_000),
      writeWav(wave(1700)),
    ],
  };
}

const bodies = (): unknown[] => [
  { words: 'nine paces', position: { latitude: 44, longitude: -71, accuracyMetres: 5 } },
  { entries: entries().slice(0, 3) },
  { type: 'begin', protocol: protocolVersion, wakeWord: null },
  { type: 'attend', gate: 'guarded' },
];

function wire(): Target {
  const documents = bodies();
  return {
    fuzz(data) {
      let value: unknown;
      try {
        value = JSON.parse(jsonOf(data, documents));
      } catch {
        return;
      }
      for (const endpoint of Object.values(endpoints)) {
        if ('query' in endpoint) endpoint.query.safeParse(value);
        if (!('body' in endpoint)) continue;
        const read = endpoint.body.safeParse(value);
        // What is taken is written and taken again as the same.
        if (read.success)
          must(
            endpoint.body.safeParse(JSON.parse(JSON.stringify(read.data))).success,
            'taken once, not twice',
          );
      }
      listenRequestSchema.safeParse(value);
    },
    seeds: documents.map((_, n) => Uint8Array.of(1, 0, n, 0)),
  };
}

/** One end of a connection that lies in memory. */
class Near extends Duplex {
  readonly written: Buffer[] = [];
  override _read(): void {}
  override _write(part: Buffer, _: BufferEncoding, done: () => void): void {
    this.written.push(Buffer.from(part));
    done();
  }
}

/** The texts in the frames that a server wrote behind its answer to the handshake (RFC 6455, section 5.2; no masks). */
function textsOf([, ...parts]: readonly Buffer[]): string[] {
  const bytes = Buffer.concat(parts);
  const texts: string[] = [];
  for (let at = 0; at + 2 <= bytes.length; ) {
    const short = bytes[at + 1]! & 0x7f;
    const long = short === 126;
    const size = long ? bytes.readUInt16BE(at + 2) : short;
    const from = at + (long ? 4 : 2);
    if ((bytes[at]! & 15) === 1) texts.push(bytes.toString('utf8', from, from + size));
    at = from + size;
  }
  return texts;
}

const turn = () => new Promise<void>((resolve) => setImmediate(resolve));

function socket(): Target {
  const follow: Listening['follow'] = (parts) => {
    queueMicrotask(() => parts.ready('energy'));
    let waiting = 0;
    return {
      get waiting() {
        return waiting;
      },
      push: (samples) => {
        waiting += samples.length;
        queueMicrotask(() => {
          waiting -= samples.length;
          parts.taken();
        });
      },
      attend() {},
      close() {},
    };
  };
  const server = new EventEmitter() as Server;
  addListening(server, async () => ({ follow }));
  const documents = [
    { type: 'begin', protocol: protocolVersion, wakeWord: null },
    { type: 'begin', protocol: protocolVersion, wakeWord: 'notebook' },
    { type: 'attend', gate: 'guarded' },
  ];
  /** RFC 6455, section 5.2: a masked frame of a client, its mask zeros. */
  const frame = (opcode: number, payload: Uint8Array): Uint8Array => {
    const size = payload.length;
    const head = size < 126 ? [0x80 | size] : [0x80 | 126, size >> 8, size & 255];
    return Uint8Array.from([0x80 | opcode, ...head, 0, 0, 0, 0, ...payload]);
  };
  return {
    async fuzz(data) {
      const bytes = new Bytes(data);
      const near = new Near();
      const headers = {
        host: 'localhost',
        connection: 'upgrade',
        upgrade: 'websocket',
        'sec-websocket-version': '13',
        'sec-websocket-key': 'dGhlIHNhbXBsZSBub25jZQ==',
      };
      const asking = { method: 'GET', url: listenPath, headers } as Partial<IncomingMessage>;
      server.emit('upgrade', asking, near, Buffer.alloc(0));
      for (let n = 0; n < 6 && bytes.left > 0 && !near.destroyed; n++) {
        const how = bytes.byte() % 8;
        if (how === 0) near.push(Buffer.from(bytes.rest(1 + bytes.byte())));
        else if (how < 5)
          near.push(frame(1, utf8(JSON.stringify(mutated(bytes, documents)).slice(0, 60_000))));
        else if (how === 5) near.push(frame(1, bytes.rest(bytes.byte())));
        else if (how === 6) near.push(frame(2, bytes.rest(bytes.byte())));
        else near.push(frame(8 + (bytes.byte() % 4), bytes.rest(bytes.byte() % 126)));
        await turn();
      }
      near.destroy();
      await turn();
      for (const text of textsOf(near.written))
        must(listenReplySchema.safeParse(JSON.parse(text)).success, `an odd reply: ${text}`);
    },
    seeds: [Uint8Array.of(1, 0, 0, 0, 6, 4, 1, 2, 3, 4), Uint8Array.of(1, 0, 1, 0, 1, 0, 2, 0)],
  };
}

function json(): Target {
  const all = entries();
  const documents: unknown[] = [all, all.slice(0, 2), all.slice(-3)].map((some) => JSON.parse(toJson(some)));
  return {
    fuzz(data) {
      const read = fromJson(jsonOf(data, documents));
      if (!read.ok) return says(read.error);
      for (const entry of read.value)
        must(entrySchema.safeParse(entry).success, 'an entry that its schema refuses');
      folds(read.value);
    },
    seeds: [
      Uint8Array.of(1, 0, 0, 0),
      Uint8Array.of(1, 0, 1, 0),
      Uint8Array.of(1, 0, 2, 0),
      Uint8Array.of(1, 0, 0, 2, 0, 9, 0, 0, 1, 0, 3),
    ],
  };
}

function csv(): Target {
  const book = new Book();
  book.applyAll(entries());
  const whole = toCsv(woodOf(book), 'all');
  const rows = whole.split(/\r?\n/).map((row) => row.split(','));
  let n = 0;
  const id = (time: number) => idOf(Math.min(time, 2 ** 47), n++ % 1e6);
  return {
    fuzz(data) {
      const bytes = new Bytes(data);
      const how = bytes.byte();
      const text =
        how % 4 === 0
          ? bytes.text()
          : (mutated(bytes, [rows]) as unknown[])
              .map((row) => (Array.isArray(row) ? row.join(',') : String(row)))
              .join('\n');
      const table = fromCsv(text);
      if (!table.ok) return says(table.error);
      const made = entriesOfTable(table.value, { known: () => false, device: deviceId('table-fuzz'), id });
      if (!made.ok) return says(made.error);
      for (const entry of made.value)
        must(entrySchema.safeParse(entry).success, 'an entry that its schema refuses');
      folds(made.value);
    },
    seeds: [Uint8Array.of(1, 0, 0, 0), Uint8Array.of(1, 0, 0, 3, 0, 40, 0, 0, 3, 9, 9, 1)],
  };
}

function rows(): Target {
  const documents = entries();
  return {
    fuzz(data) {
      const text = jsonOf(data, documents);
      const sum = sumNow(text);
      const read = readRow(text, null);
      if (read.ok) {
        must(entrySchema.safeParse(read.value).success, 'an entry that its schema refuses');
        folds([read.value]);
        const again = readRow(text, sum);
        must(again.ok && again.value.id === read.value.id, 'read otherwise with its sum');
      } else says(read.error);
      if (sum !== null) must(!readRow(`${text} `, sum).ok, 'a wrong sum was taken');
    },
    seeds: documents.map((_, n) => Uint8Array.of(1, 0, n, 0)),
  };
}

/** A fault behind three conditions, that the fuzzer must find (tests/safe/fuzzer.test.ts): one in 2 ** 24 by chance alone. */
function planted(): Target {
  return {
    fuzz([first = 0, second = 0, third = 0]) {
      if (first * 7 === 91)
        if ((second ^ first) === 200) if (second + third === 300) throw new Error('planted');
    },
    seeds: [Uint8Array.of(0, 0, 0, 0)],
  };
}

export const targets = {
  reader,
  strings,
  sound,
  wire,
  socket,
  json,
  csv,
  rows,
  planted,
} satisfies Record<string, () => Target>;
export type TargetName = keyof typeof targets;
