/** The whole journal as one JSON file, without loss, and back: the way to move a book to another device. */
import * as z from 'zod/mini';
import { err, ok, type Result } from '../../core/result.ts';
import { type Entry, entrySchema, journalFormat } from '../../note/journal.ts';

/** Names the file's kind in its first field, so that no one has to guess. */
const kind = 'stemsay journal';

/** One entry a line, so that two exports can be compared line by line. */
export function toJson(entries: readonly Entry[]): string {
  const lines = entries.map((entry) => JSON.stringify(entry)).join(',\n');
  return `{"kind":${JSON.stringify(kind)},"format":${journalFormat},"entries":[\n${lines}\n]}\n`;
}

const fileSchema = z.looseObject({ kind: z.literal(kind), format: z.int().check(z.positive()) });
const entriesSchema = z.object({ entries: z.array(entrySchema) });

export function fromJson(text: string): Result<Entry[], string> {
  let parsed: unknown;
  try {
    // Editors put a mark of the byte order before it.
    parsed = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch {
    return err('Expected the JSON export of a book; this is not JSON.');
  }
  const file = fileSchema.safeParse(parsed);
  if (!file.success)
    return err(`Expected the JSON export of a book, with "kind": "${kind}" and its format number.`);
  if (file.data.format > journalFormat) {
    return err(
      `This export has format ${file.data.format}; this program knows ${journalFormat}. Update stemsay to read it.`,
    );
  }
  const read = entriesSchema.safeParse(parsed);
  if (read.success) return ok(read.data.entries);
  const issue = read.error.issues[0]!;
  const at = typeof issue.path[1] === 'number' ? `Entry ${issue.path[1] + 1}` : 'The list of entries';
  return err(`${at}, ${issue.path.slice(2).join('.') || 'as a whole'}: ${issue.message}.`);
}
