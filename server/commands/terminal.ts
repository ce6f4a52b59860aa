/**
 * What every command stands on: the terminal that it is connected to, the two ways in which it can fail, the options
 * it was given, and the files and books that it opens.
 */
import { readFile, writeFile } from 'node:fs/promises';
import type { Readable, Writable } from 'node:stream';
import { phoneKeeper } from '../access/keeper.ts';
import { phonesLetIn } from '../access/phones.ts';
import { Desk, MemoryStore } from '../desk/desk.ts';
import { Voices } from '../desk/voices.ts';
import { openBook } from '../journal/books.ts';
import type { Language } from '../language/language.ts';
import { createDictation } from '../speech/dictation.ts';
import type { Hearing } from '../speech/hear.ts';

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

/** The command was wrong: said on standard error, exit status 2. */
export class UsageError extends Error {}
/** A file cannot be used: said on standard error, exit status 1. */
export class RefusedError extends Error {}

/** Every option of any command, as `node:util` parses them. */
export const options = {
  json: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
  version: { type: 'boolean' },
  columns: { type: 'boolean' },
  book: { type: 'string' },
  list: { type: 'string' },
  format: { type: 'string' },
  table: { type: 'string' },
  out: { type: 'string' },
  from: { type: 'string' },
  yes: { type: 'boolean' },
  stand: { type: 'string' },
  stratum: { type: 'string' },
} as const;
export type Values = {
  -readonly [K in keyof typeof options]?: (typeof options)[K]['type'] extends 'boolean' ? boolean : string;
};

/**
 * The value of an option among those that it may have.
 *
 * @throws UsageError that names them
 * @example oneOf('format', 'csv', ['csv', 'json']) // 'csv'
 */
export function oneOf<T extends string>(
  option: keyof Values,
  given: string | undefined,
  known: readonly T[],
): T {
  const found = known.find((one) => one === given);
  if (found !== undefined) return found;
  throw new UsageError(`Expected --${option} ${known.join('|')}, found ${given ?? 'none'}.`);
}

/** @throws UsageError when the command was given no book */
export function bookNamed({ book }: Values, command: string): string {
  if (book === undefined) throw new UsageError(`"stemsay ${command}" needs --book FILE.`);
  return book;
}

/**
 * A desk on the book that was named, or on one in memory. What hears is closed with the desk, also when the book
 * cannot be opened.
 *
 * @throws RefusedError when there is no such book, or it cannot be used
 */
export async function openDesk(
  { book }: Values,
  terminal: Terminal,
  how: { readonly hearing?: Hearing; readonly mode?: 'write' | 'read' } = {},
): Promise<Desk> {
  const { hearing } = how;
  const store = book === undefined ? null : await openBook(book, how.mode);
  if (store !== null && !store.ok) {
    await hearing?.close();
    throw new RefusedError(store.error.sentence);
  }
  return Desk.open({
    store: store?.value ?? new MemoryStore(),
    language: terminal.language(),
    now: () => terminal.now(),
    ...(book === undefined ? {} : { phones: phoneKeeper(phonesLetIn(book, () => terminal.now())) }),
    ...(hearing ? { hearing, dictation: createDictation() } : {}),
    ...(book === undefined ? {} : { voices: new Voices(book) }),
  });
}

/** Why a file cannot be used, for the end of a sentence. */
export const reasonOf = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause));

/** @throws RefusedError when it cannot be read */
export async function fileText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    throw new RefusedError(`${path} cannot be read: ${reasonOf(cause)}.`);
  }
}

/** @throws RefusedError when it cannot be written */
export async function saveFile(path: string, text: string): Promise<void> {
  try {
    await writeFile(path, text);
  } catch (cause) {
    throw new RefusedError(`${path} cannot be written: ${reasonOf(cause)}.`);
  }
}

export async function textOfFile(stream: Readable): Promise<string> {
  const parts: Buffer[] = [];
  for await (const part of stream) parts.push(Buffer.from(part));
  return Buffer.concat(parts).toString('utf8');
}

/** Waits until the reader has room, so that a long list does not pile up in memory. */
export function write(stream: Writable, text: string): Promise<void> {
  return new Promise((resolve, reject) => stream.write(text, (error) => (error ? reject(error) : resolve())));
}
