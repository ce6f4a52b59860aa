/** Entries made to hurt, pushed to a server that others use: each is refused with a sentence, and the book stays as it was. */
import { join } from 'node:path';
import { seeded } from '../../../shared/core/random.ts';
import type { Entry } from '../../../shared/note/journal.ts';
import { Bytes, mutated } from '../../fuzz/mutate.ts';
import { entriesOf, entryOf } from '../../support/entries.ts';
import { Client, ServerProcess } from '../../support/server-process.ts';
import { countIn, folder, type Row } from './row.ts';

const base = entryOf(1);
const acts = (...all: unknown[]) => ({ ...base, acts: all });
const tree = (fields: object) => acts({ act: 'tree', id: base.id, fields });
const set = (of: object) => acts({ act: 'setting', set: of });

/** Each made a book unusable, hung it or hid something, once. */
const known: readonly unknown[] = [
  tree({ logs: 1e9 }),
  tree({ logs: 1e300 }),
  tree({ logs: 1e12 }),
  tree({ merchFt: 1e308 }),
  tree({ marks: [''] }),
  tree({ marks: ['{}'] }),
  tree({ diameterIn: 1e308 }),
  tree({ diameterIn: 5e-324 }),
  { ...base, time: 2 ** 48 },
  { ...base, seq: Number.MAX_SAFE_INTEGER },
  acts({ act: 'plot', id: base.id, number: 1, size: { by: 'radius', length: { value: 0, unit: 'ft' } } }),
  set({ what: 'scatter', device: 'laser', feet: 1e308 }),
  set({ what: 'deviation', error: 'sightDegrees', value: 5e-324 }),
  acts({ act: 'word', word: Array.from({ length: 2000 }, () => 'a').join(' '), species: 833 }),
  set({ what: 'person', name: 'a'.repeat(1e6) }),
];

export async function hostile(): Promise<Row[]> {
  const file = join(folder, 'hostile.book');
  const server = await ServerProcess.start(file);
  const client = new Client(server.port);
  const good = entriesOf(20, 'd-good');
  await client.post('/api/entries', { entries: good });
  const push = (entry: unknown) => client.post('/api/entries', { entries: [entry] });
  let told = '';
  let taken = 0;
  for (const entry of known) {
    const { status, body } = await push(entry);
    if (status === 200) taken++;
    else told ||= (body as { refused: string }).refused;
  }
  const rows: Row[] = [
    {
      fault: 'entries that once made a book unusable are pushed',
      rounds: known.length,
      acknowledged: good.length,
      lost: taken,
      told,
    },
  ];
  const random = seeded(11);
  const documents: readonly Entry[] = entriesOf(8, 'd-base');
  let kept = 0;
  let refused = 0;
  let odd = 0;
  let slowest = 0;
  const rounds = 1500;
  for (let n = 0; n < rounds; n++) {
    const bytes = new Bytes(Uint8Array.from({ length: 6 + Math.floor(random() * 40) }, () => random() * 256));
    const { status, ms } = await push(mutated(bytes, documents));
    slowest = Math.max(slowest, ms);
    if (status === 200) kept++;
    else if (status === 400 || status === 422) refused++;
    else odd++;
  }
  const state = await client.get('/api/totals');
  if (state.status !== 200) odd++;
  client.close();
  await server.stop();
  const there = await countIn(file);
  rows.push({
    fault: `a generator looks for more (${kept} taken, ${refused} refused, slowest ${slowest.toFixed(0)} ms)`,
    rounds,
    acknowledged: good.length,
    lost: odd + Math.max(0, good.length - there),
    told: 'refused with what is wrong, or kept and counted; the server answers as before',
  });
  return rows;
}
