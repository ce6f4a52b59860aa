/**
 * The command line: `stemsay note`, `hear` and the rest. It reads arguments, opens a desk, prints answers. Exit
 * status: 0 done, 1 something was refused or found wrong, 2 the command itself was wrong.
 */
import { randomBytes } from 'node:crypto';
import { readFile, writeFile } from 'node:fs/promises';
import { createInterface } from 'node:readline';
import type { Readable, Writable } from 'node:stream';
import { parseArgs } from 'node:util';
import type { Answer, Told } from '../shared/book/types.ts';
import { answerLines, reportOf, reportText } from '../shared/export/report.ts';
import { reportPage } from '../shared/export/reportpage.ts';
import { columnList } from '../shared/export/tables.ts';
import { ok, type Result } from '../shared/result.ts';
import { fileFormats, grammarFormats, limits } from '../shared/wire.ts';
import { readWav, writeWav } from './audio.ts';
import { openBook } from './books.ts';
import { checkBook } from './check.ts';
import { Desk, type Language, MemoryStore } from './desk.ts';
import { uuidv7 } from './identity.ts';
import { createDictation, dictationFolder } from './speech/dictation.ts';
import { fetchDictation } from './speech/fetchdictation.ts';
import type { Hearing } from './speech/hear.ts';
import { openStore, type Store } from './store.ts';

/** What the command line is connected to; handed in, so that tests need no process. */
export interface Terminal {
  readonly stdin: Readable;
  readonly stdout: Writable;
  readonly stderr: Writable;
  /** Made only when a command needs it: both take a moment. */
  language(): Language;
  hearing(): Hearing;
  now(): number;
}

const usage = `stemsay: say a short note, get a checked tree height.

  stemsay note [--json] [--book FILE] ["words"]        one note, or one a line from standard input
               [--list FILE]                            ... or from FILE, each printed with its answer set in; lines
                                                        that begin with # or a space are passed over
  stemsay hear [--json] [--book FILE] CLIP.wav ...      the same for 16-bit WAV files
               [--list FILE]                            ... whose paths stand in FILE, one a line ("-": standard input)
  stemsay totals [--json] --book FILE                   what the book comes to, with errors
  stemsay doubts [--json] --book FILE                   what is in doubt, and what was settled
  stemsay export --format csv|json|geojson --book FILE  the book for other programs
               [--table all|trees|plots] [--columns]    ... rows of the CSV; --columns explains its columns
  stemsay report [--format text|html] [--out FILE]      the day's report; to FILE, as a page when its name
                 --book FILE                            ends in .html, which prints well from any browser
  stemsay grammar [--format help|examples|srgs|abnf|jsgf]
                                                        everything that can be said
  stemsay check [--json] --book FILE                    verifies a book
  stemsay fetch-dictation [--from URL] [--yes]          fetches what writes remarks down, once; says first how much
  stemsay import --book FILE EXPORT.json|csv ...        adds what JSON or CSV exports hold; safe to repeat

FILE may also be a book of a crew's database: postgres://crew@host/database?book=NAME
Without --book, note and hear work on a book in memory that ends with the command.
"npm start" serves the page. Exit status: 0 done, 1 refused or found wrong, 2 wrong command.
`;

/** The command was wrong: said on standard error, exit status 2. */
class UsageError extends Error {}
/** A file cannot be used: said on standard error, exit status 1. */
class RefusedError extends Error {}

const options = {
  json: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
  columns: { type: 'boolean' },
  book: { type: 'string' },
  list: { type: 'string' },
  format: { type: 'string' },
  table: { type: 'string' },
  out: { type: 'string' },
  from: { type: 'string' },
  yes: { type: 'boolean' },
} as const;
type Values = {
  -readonly [K in keyof typeof options]?: (typeof options)[K]['type'] extends 'boolean' ? boolean : string;
};

/** Which options each command takes; any other is a mistake worth saying. */
const commands: Readonly<Record<string, readonly (keyof Values)[]>> = {
  note: ['json', 'book', 'list'],
  hear: ['json', 'book', 'list'],
  totals: ['json', 'book'],
  doubts: ['json', 'book'],
  export: ['format', 'table', 'columns', 'book'],
  report: ['format', 'book', 'out'],
  grammar: ['format'],
  check: ['json', 'book'],
  import: ['book'],
  'fetch-dictation': ['from', 'yes'],
};

/** Runs one command and resolves to the exit status. */
export async function run(argv: readonly string[], terminal: Terminal): Promise<number> {
  try {
    return await dispatch(argv, terminal);
  } catch (error) {
    if (error instanceof UsageError) {
      terminal.stderr.write(`${error.message}\n"stemsay --help" shows all commands.\n`);
      return 2;
    }
    if (error instanceof RefusedError || (error instanceof Error && error.name === 'StoreError')) {
      terminal.stderr.write(`${error.message}\n`);
      return 1;
    }
    throw error;
  }
}

async function dispatch(argv: readonly string[], terminal: Terminal): Promise<number> {
  let parsed: { values: Values; positionals: string[] };
  try {
    parsed = parseArgs({ args: [...argv], options, allowPositionals: true });
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
  const { values } = parsed;
  const [command, ...rest] = parsed.positionals;
  if (values.help || command === 'help') {
    terminal.stdout.write(usage);
    return 0;
  }
  if (command === undefined) throw new UsageError('Expected a command: note, hear, totals, export ...');
  const allowed = commands[command];
  if (allowed === undefined) {
    throw new UsageError(`There is no command "${command}". There are: ${Object.keys(commands).join(', ')}.`);
  }
  const alien = Object.keys(values).find((name) => !(allowed as readonly string[]).includes(name));
  if (alien !== undefined) throw new UsageError(`"stemsay ${command}" takes no --${alien}.`);
  if (!['note', 'hear', 'import'].includes(command) && rest.length > 0) {
    throw new UsageError(`"stemsay ${command}" takes no "${rest[0]}".`);
  }

  switch (command) {
    case 'note':
      return note(rest, values, terminal);
    case 'hear':
      return hear(rest, values, terminal);
    case 'grammar': {
      const format = oneOf(values.format ?? 'help', grammarFormats);
      terminal.stdout.write(withNewline(terminal.language().render(format)));
      return 0;
    }
    case 'fetch-dictation':
      return getDictation(values, terminal);
    case 'check':
      return check(values, terminal);
    case 'import':
      return importEntries(rest, values, terminal);
    default:
      return onBook(command, values, terminal);
  }
}

async function note(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  const desk = await deskOf(values, terminal);
  const answers = new Answers(values, terminal);
  try {
    if (values.list !== undefined) {
      if (rest.length > 0) throw new UsageError('Expected either words or --list FILE, found both.');
      for (const words of notesOf(await fileText(values.list))) {
        if (!values.json) await write(terminal.stdout, `${words}\n  `);
        await answers.give(await desk.note(words));
      }
    } else if (rest.length > 0) {
      await answers.give(await desk.note(rest.join(' ')));
    } else {
      for await (const line of createInterface({ input: terminal.stdin })) {
        await answers.give(
          line.length > limits.words
            ? await desk.refuse(`A note has at most ${limits.words} characters; this one has ${line.length}.`)
            : await desk.note(line),
        );
      }
    }
  } finally {
    await desk.close();
  }
  return answers.status;
}

/** The notes of a written session, which may hold remarks and earlier answers. */
const notesOf = (text: string): string[] => text.split(/\r?\n/).filter((line) => /^[^#\s]/.test(line));

async function hear(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  const paths = [...rest];
  if (values.list !== undefined) {
    const text = values.list === '-' ? await textOf(terminal.stdin) : await fileText(values.list);
    paths.push(...text.split(/\r?\n/).filter((line) => line.trim() !== ''));
  }
  if (paths.length === 0) throw new UsageError('Expected WAV files, or --list FILE with their paths.');
  const hearing = terminal.hearing();
  const desk = await deskOf(values, terminal, hearing);
  const answers = new Answers(values, terminal, paths.length);
  try {
    for (const path of paths) await answers.give(await hearFile(desk, path));
  } finally {
    await desk.close();
  }
  return answers.status;
}

async function getDictation(values: Values, terminal: Terminal): Promise<number> {
  const say = (line: string) => write(terminal.stdout, `${line}\n`);
  const fetched = await fetchDictation({
    from: values.from,
    to: dictationFolder(),
    tell: (line) => void say(line),
    async agree(plan) {
      await say(plan);
      if (values.yes) return true;
      await write(terminal.stdout, 'Fetch it? (yes, no) ');
      for await (const line of createInterface({ input: terminal.stdin }))
        return /^y(es)?$/i.test(line.trim());
      return false;
    },
  });
  if (!fetched.ok) throw new RefusedError(fetched.error);
  await say(fetched.value);
  return 0;
}

async function hearFile(desk: Desk, path: string): Promise<Told> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (cause) {
    return desk.refuse(`${path} cannot be read: ${cause instanceof Error ? cause.message : cause}.`);
  }
  const sound = readWav(bytes);
  if (!sound.ok) return desk.refuse(`${path}: ${sound.error.message}`);
  return desk.sound(sound.value, writeWav(sound.value.samples));
}

/** Prints answers one by one, remembers whether one was refused, and tells how far a long list is. */
class Answers {
  status = 0;
  #given = 0;
  #toldAt: number;

  constructor(
    readonly values: Values,
    readonly terminal: Terminal,
    readonly total = 0,
  ) {
    this.#toldAt = terminal.now();
  }

  async give({ answer }: Told): Promise<void> {
    if (answer.state === 'refused') this.status = 1;
    const text = this.values.json ? JSON.stringify(answer) : plainAnswer(answer, this.total > 0);
    await write(this.terminal.stdout, `${text}\n`);
    this.#given++;
    const now = this.terminal.now();
    if (this.total >= 20 && (now - this.#toldAt >= 2000 || this.#given === this.total)) {
      this.#toldAt = now;
      this.terminal.stderr.write(`${this.#given} of ${this.total} heard\n`);
    }
  }
}

/** One line: the reply, and for a clip the words that were heard before it. */
function plainAnswer(answer: Answer, heard: boolean): string {
  const reply = answer.reply.replaceAll('\n', ' ');
  return heard && answer.words !== '' ? `${answer.words} -> ${reply}` : reply;
}

async function onBook(command: string, values: Values, terminal: Terminal): Promise<number> {
  const { stdout } = terminal;
  if (command === 'export' && values.columns) {
    stdout.write(`${columnList().join('\n')}\n`);
    return 0;
  }
  const format = values.format;
  const fileFormat = command === 'export' ? oneOf(format, fileFormats) : 'csv';
  const usualFormat = /\.html?$/i.test(values.out ?? '') ? 'html' : 'text';
  const reportFormat =
    command === 'report' ? oneOf(format ?? usualFormat, ['text', 'html'] as const) : 'text';
  const table = oneOf(values.table ?? 'all', ['all', 'trees', 'plots'] as const);
  if (values.book === undefined) throw new UsageError(`"stemsay ${command}" needs --book FILE.`);
  const desk = await deskOf(values, terminal, undefined, 'read');
  try {
    switch (command) {
      case 'totals': {
        const answers = desk.totals();
        await write(
          stdout,
          values.json ? `${JSON.stringify({ answers })}\n` : `${answerLines(answers).join('\n')}\n`,
        );
        break;
      }
      case 'doubts': {
        const doubts = desk.doubts();
        const lines = doubts.map(
          (one) => `${one.state}${one.tree === null ? '' : `, tree ${one.tree}`}: ${one.sentence}`,
        );
        await write(
          stdout,
          values.json ? `${JSON.stringify({ doubts })}\n` : `${lines.join('\n') || 'None.'}\n`,
        );
        break;
      }
      case 'export':
        await write(stdout, desk.export(fileFormat, table));
        break;
      case 'report': {
        const report = reportOf({ book: desk.session.book, answers: desk.totals(), made: terminal.now() });
        const text = reportFormat === 'html' ? reportPage(report) : reportText(report);
        if (values.out === undefined) await write(stdout, text);
        else {
          await saveFile(values.out, text);
          await write(stdout, `The report is in ${values.out}.\n`);
        }
        break;
      }
    }
  } finally {
    await desk.close();
  }
  return 0;
}

async function check(values: Values, terminal: Terminal): Promise<number> {
  if (values.book === undefined) throw new UsageError('"stemsay check" needs --book FILE.');
  const store = openStore(values.book, 'read');
  if (!store.ok) throw new RefusedError(store.error.sentence);
  try {
    const found = checkBook(store.value, terminal.language());
    if (values.json) terminal.stdout.write(`${JSON.stringify(found)}\n`);
    else {
      for (const problem of found.problems) terminal.stdout.write(`${problem}\n`);
      const verdict = found.problems.length === 0 ? 'nothing wrong' : `${found.problems.length} wrong`;
      const older = found.notCompared === 0 ? '' : `, ${found.notCompared} of another grammar not read again`;
      terminal.stdout.write(
        `${found.entries} entries of ${found.devices === 1 ? '1 device' : `${found.devices} devices`}, ${found.reread} read again${older}: ${verdict}.\n`,
      );
    }
    return found.problems.length === 0 ? 0 : 1;
  } finally {
    await store.value.close();
  }
}

async function importEntries(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  if (values.book === undefined) throw new UsageError('"stemsay import" needs --book FILE.');
  if (rest.length === 0) throw new UsageError('Expected JSON or CSV exports to import.');
  const store = await openBook(values.book);
  if (!store.ok) throw new RefusedError(store.error.sentence);
  try {
    for (const path of rest) {
      const text = await fileText(path);
      const said = /\.csv$/i.test(path)
        ? await importTable(text, store.value)
        : await importJournal(text, store.value);
      if (!said.ok) throw new RefusedError(`${path}: ${said.error}`);
      terminal.stdout.write(`${path}: ${said.value}\n`);
    }
  } finally {
    await store.value.close();
  }
  return 0;
}

async function importJournal(text: string, store: Store): Promise<Result<string, string>> {
  const { fromJson } = await import('../shared/export/entries.ts');
  const entries = fromJson(text);
  if (!entries.ok) return entries;
  const { added } = await store.append(entries.value);
  return ok(`${added} entries added, ${entries.value.length - added} were there already.`);
}

/** Trees and plots that the book does not have; what it has stays as it is. */
async function importTable(text: string, store: Store): Promise<Result<string, string>> {
  const [{ fromCsv }, { entriesOfTable }] = await Promise.all([
    import('../shared/export/readtables.ts'),
    import('../shared/export/importtables.ts'),
  ]);
  const table = fromCsv(text);
  if (!table.ok) return table;
  const ids = new Set<string>();
  for (let cursor = 0; ; ) {
    const page = await store.since(cursor, limits.entries);
    if (page.entries.length === 0) break;
    for (const { id } of page.entries) ids.add(id);
    cursor = page.cursor;
  }
  const entries = entriesOfTable(table.value, {
    known: (id) => ids.has(id),
    device: `table-${randomBytes(5).toString('hex')}`,
    id: uuidv7,
  });
  if (!entries.ok) return entries;
  await store.append(entries.value);
  const { trees, plots } = table.value;
  const fresh = (records: readonly { readonly id: string }[]) =>
    records.filter(({ id }) => !ids.has(id)).length;
  return ok(
    `${fresh(trees)} trees and ${fresh(plots)} plots added, ${trees.length - fresh(trees)} and ${plots.length - fresh(plots)} were there already.`,
  );
}

async function deskOf(
  { book }: Values,
  terminal: Terminal,
  hearing?: Hearing,
  mode: 'write' | 'read' = 'write',
): Promise<Desk> {
  const store = book === undefined ? null : await openBook(book, mode);
  if (store !== null && !store.ok) {
    await hearing?.close();
    throw new RefusedError(store.error.sentence);
  }
  return Desk.open({
    store: store?.value ?? new MemoryStore(),
    language: terminal.language(),
    now: () => terminal.now(),
    ...(hearing ? { hearing, dictation: createDictation() } : {}),
  });
}

function oneOf<T extends string>(given: string | undefined, known: readonly T[]): T {
  const found = known.find((one) => one === given);
  if (found !== undefined) return found;
  throw new UsageError(
    `Expected --${known.includes('trees' as T) ? 'table' : 'format'} ${known.join('|')}, found ${given ?? 'none'}.`,
  );
}

async function fileText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    throw new RefusedError(`${path} cannot be read: ${cause instanceof Error ? cause.message : cause}.`);
  }
}

async function saveFile(path: string, text: string): Promise<void> {
  try {
    await writeFile(path, text);
  } catch (cause) {
    throw new RefusedError(`${path} cannot be written: ${cause instanceof Error ? cause.message : cause}.`);
  }
}

async function textOf(stream: Readable): Promise<string> {
  const parts: Buffer[] = [];
  for await (const part of stream) parts.push(Buffer.from(part));
  return Buffer.concat(parts).toString('utf8');
}

/** Waits until the reader has room, so that a long list does not pile up in memory. */
function write(stream: Writable, text: string): Promise<void> {
  return new Promise((resolve, reject) => stream.write(text, (error) => (error ? reject(error) : resolve())));
}

const withNewline = (text: string): string => (text.endsWith('\n') ? text : `${text}\n`);
