/** Files of one person: readable by the user who runs the program and nobody else, written whole or not at all. */
import { chmodSync, closeSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { places } from './places.ts';

/** A folder beside the book, or in the usual place for a book in a database. */
export function folderBeside(book: string, name: string): string {
  const beside = /^postgres(ql)?:\/\//.test(book) ? places.books : dirname(book);
  return join(beside, name);
}

/** Makes a folder for its owner only; one that is there already is closed to others. */
export function ownFolder(path: string): void {
  mkdirSync(path, { recursive: true, mode: 0o700 });
  chmodSync(path, 0o700);
}

/** Writes a file for its owner only; after a power cut there is the old one or the new one. */
export function writeOwn(path: string, text: string): void {
  const fresh = `${path}.${process.pid}.new`;
  try {
    const handle = openSync(fresh, 'w', 0o600);
    try {
      writeSync(handle, text);
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(fresh, path);
  } catch (cause) {
    rmSync(fresh, { force: true });
    throw cause;
  }
}
