/** A row of a journal, in whatever database: the entry as JSON and its check sum, and what reading it comes to. */
import zlib from 'node:zlib';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { type Entry, entrySchema } from '../../shared/note/journal.ts';

/**
 * Raised with every change of `shared/note/limits.ts`. It is a part of the check sum: a row with a sum of these limits was
 * validated against them when it was written; one of older limits is validated again each time it is read.
 */
const limitsVersion = 3;

/**
 * CRC-32 of a text as UTF-8; null where Node is older than 20.15. Entries are validated when they are written; a row
 * whose check sum holds is what was validated then, and reading it again costs half without the schema.
 */
const crcOf: (text: string, from?: number) => number | null =
  typeof zlib.crc32 === 'function' ? (text, from = 0) => zlib.crc32(text, from) : () => null;

/** The check sum that an entry is written with, validated against the limits of this program. */
export const sumNow = (text: string): number | null => crcOf(text, limitsVersion);

/** What a kept check sum says of a text: written under these limits, under older ones, or not what was written. */
export function checksumOf(text: string, crc: number | null): 'now' | 'older' | 'wrong' | 'none' {
  const plain = crc === null ? null : crcOf(text);
  if (crc === null || plain === null) return 'none';
  if (crc === sumNow(text)) return 'now';
  return crc === plain ? 'older' : 'wrong';
}

export const notJson = 'its text is not JSON';

/** A text whose sum is of these limits is taken without validating it again; one with a wrong sum is never taken. */
export function readRow(text: string, crc: number | null): Result<Entry, string> {
  const sum = checksumOf(text, crc);
  if (sum === 'wrong') return err('it was changed since it was written');
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch {
    return err(notJson);
  }
  if (sum === 'now') return ok(body as Entry);
  const read = entrySchema.safeParse(body);
  if (read.success) return ok(read.data);
  const issue = read.error.issues[0];
  return err(`${issue?.path.join('.') || 'entry'}: ${issue?.message ?? 'not an entry'}`);
}
