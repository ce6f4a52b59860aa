/** Appends batches of three entries without end and writes each id once it is acknowledged; see `kill.ts`. */
import { writeSync } from 'node:fs';
import { openStore } from '../../server/journal/sqlite.ts';
import { entryOf } from '../support/entries.ts';

const [file, round] = process.argv.slice(2);
const store = openStore(file!);
if (!store.ok) throw new Error(store.error.sentence);
for (let seq = 1; ; seq += 3) {
  const words = `round ${round}, batch ${seq}`;
  const batch = [0, 1, 2].map((more) => ({ ...entryOf(seq + more, `d-${round}`), words }));
  await store.value.append(batch);
  writeSync(1, batch.map((entry) => `${entry.id}\n`).join(''));
}
