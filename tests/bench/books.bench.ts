/**
 * Large books: opening, a note, a late entry, totals, CSV, the report and memory, from 1 000 entries on. Sizes by
 * STEMSAY_BOOKS="1000 10000"; up to a million where it is missing. Of each size but the first also how often its figures are
 * those of the size before.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '../../server/journal/sqlite.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { madeBook } from './large/made-book.ts';

export const name = 'books';
type Print = (name: string, value: number | string, unit: string) => void;

const root = fileURLToPath(new URL('../..', import.meta.url));
const atOnce = 5000;
/** Figures whose growth is told. */
const grows = [
  'open',
  'note.p50',
  'late.cpu',
  'totals.cpu',
  'csv.cpu',
  'report',
  'report.longest.wait',
  'memory',
];

export async function run(print: Print): Promise<void> {
  const sizes = (process.env.STEMSAY_BOOKS ?? '1000 10000 100000 1000000').split(/\s+/).map(Number);
  // On the disk of the project, not in a memory file system, where a sync costs nothing.
  const folder = mkdtempSync(join(root, '.bench-'));
  let before = new Map<string, number>();
  try {
    for (const count of sizes) {
      const figures = new Map<string, number>();
      const file = join(folder, `${count}.book`);
      await write(file, count);
      const measured = spawnSync(
        process.execPath,
        [
          '--expose-gc',
          '--max-old-space-size=8192',
          '--import',
          'tsx',
          'tests/bench/large/measure.ts',
          file,
          String(count),
        ],
        { cwd: root, encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] },
      );
      for (const line of measured.stdout.split('\n')) {
        const [what, value, ...unit] = line.split(' ');
        if (!what || value === undefined) continue;
        print(`${count}.${what}`, value, unit.join(' '));
        figures.set(what, Number(value));
      }
      if (measured.status !== 0) throw new Error(`the book of ${count} entries could not be measured`);
      for (const what of grows) {
        const [now, was] = [figures.get(what), before.get(what)];
        if (now && was) print(`${count}.${what}.growth`, (now / was).toPrecision(3), 'times the size before');
      }
      before = figures;
      rmSync(file);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function write(file: string, count: number): Promise<void> {
  const store = openStore(file);
  if (!store.ok) throw new Error(store.error.sentence);
  let batch: Entry[] = [];
  for (const entry of madeBook(count)) {
    batch.push(entry);
    if (batch.length < atOnce) continue;
    await store.value.append(batch);
    batch = [];
  }
  await store.value.append(batch);
  await store.value.close();
}
