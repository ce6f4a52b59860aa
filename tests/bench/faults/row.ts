/** One row of the table of faults, and what the rows are made with. */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openStore, type SqliteStore } from '../../../server/journal/sqlite.ts';

export interface Row {
  readonly fault: string;
  readonly rounds: number;
  /** Entries that somebody was told are kept, and those of them that are gone. */
  readonly acknowledged: number;
  readonly lost: number;
  /** What the person is told, as it was said. */
  readonly told: string;
}

export const folder = mkdtempSync(join(tmpdir(), 'faults-'));

/** A sentence without the folder of this run and without what differs from run to run. */
export const plain = (sentence: string): string =>
  sentence
    .replaceAll(`${folder}/`, '')
    .replace(/\b(postgres|north|book)-\d+\b/g, '$1')
    .trim();

export function opened(file: string, mode?: 'read'): SqliteStore {
  const store = openStore(file, mode);
  if (!store.ok) throw new Error(store.error.sentence);
  return store.value;
}

export async function countIn(file: string): Promise<number> {
  const store = opened(file);
  const { entries } = await store.since(0);
  await store.close();
  return entries.length;
}

/** What a promise that must fail fails with. */
export async function sentenceOf(failing: Promise<unknown>): Promise<string> {
  try {
    await failing;
    return 'nothing';
  } catch (cause) {
    return plain(cause instanceof Error ? cause.message : String(cause));
  }
}
