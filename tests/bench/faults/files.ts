/** The file of a book: a full or read-only disk, moved, copied, linked, damaged, without its log; a clock that is wrong. */
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  mkdirSync,
  readFileSync,
  renameSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { ClockWatch } from '../../../client/conversation/clock.ts';
import { Desk } from '../../../server/desk/desk.ts';
import { openStore } from '../../../server/journal/sqlite.ts';
import { createLanguage } from '../../../server/language/language.ts';
import { seeded } from '../../../shared/core/random.ts';
import { momentOf } from '../../../shared/note/journal.ts';
import { entriesOf, entryOf } from '../../support/entries.ts';
import { countIn, folder, opened, plain, type Row, sentenceOf } from './row.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));
/** Of each fault that takes seconds. */
const rounds = 10;
const stemsay = `"${process.execPath}" --import tsx server/stemsay.mjs`;

/** Runs a script in a mount namespace of its own; null where that is not permitted. */
function inOwnMounts(script: string): string | null {
  const { status, stdout } = spawnSync('unshare', ['-m', 'sh', '-c', script], {
    cwd: root,
    encoding: 'utf8',
  });
  return status === 0 ? stdout : null;
}

function onADisk(
  name: string,
  size: string,
  then: string,
): { kept: number; there: number; said: string } | null {
  const disk = join(folder, name);
  mkdirSync(disk);
  writeFileSync(join(folder, `${name}.txt`), '9 paces, eye five and a half\n'.repeat(3000));
  const at = (file: string) => `"${join(folder, `${name}.${file}`)}"`;
  const ran = inOwnMounts(
    [
      `mount -t tmpfs -o size=${size} none "${disk}"`,
      `${stemsay} note --book "${disk}/wood.book" "eight paces, eye five and a half" > /dev/null`,
      then.replaceAll('DISK', `"${disk}"`),
      `${stemsay} note --json --book "${disk}/wood.book" --list ${at('txt')} > ${at('out')} 2> ${at('err')}`,
      `mount -o remount,rw,size=64m "${disk}"`,
      `${stemsay} export --format json --book "${disk}/wood.book" > ${at('json')} && echo whole`,
    ].join('\n'),
  );
  if (ran === null) return null;
  const read = (file: string) => readFileSync(join(folder, `${name}.${file}`), 'utf8');
  const kept = [...read('out').matchAll(/"state":"kept"/g)].length;
  const there = (JSON.parse(read('json')) as { entries: unknown[] }).entries.length - 1;
  return { kept, there, said: plain(read('err').replaceAll(`${disk}/`, '')) };
}

function disks(): Row[] {
  const rows: Row[] = [];
  const none = { rounds: 0, acknowledged: 0, lost: 0, told: 'not tried: no mount namespace here' };
  const sizes = Array.from({ length: rounds }, (_, round) => `${300 + 40 * round}k`);
  const full = sizes.map((size) => onADisk(`full-${size}`, size, ':'));
  const fault = `the disk is full (file systems of ${sizes[0]} to ${sizes.at(-1)})`;
  const tried = full.filter((one) => one !== null);
  rows.push(
    tried.length < full.length
      ? { fault, ...none }
      : {
          fault,
          rounds: tried.length,
          acknowledged: tried.reduce((sum, { kept }) => sum + kept, 0),
          lost: tried.reduce((sum, { kept, there }) => sum + Math.max(0, kept - there), 0),
          told: tried[0]!.said,
        },
  );
  const still = Array.from({ length: rounds }, (_, round) =>
    onADisk(`still-${round}`, '8m', 'mount -o remount,ro DISK'),
  ).filter((one) => one !== null);
  const readOnly = 'the disk is read-only';
  rows.push(
    still.length < rounds
      ? { fault: readOnly, ...none }
      : {
          fault: readOnly,
          rounds,
          acknowledged: still.reduce((sum, { kept }) => sum + 1 + kept, 0),
          lost: still.reduce((sum, { kept, there }) => sum + Math.max(0, kept - there), 0),
          told: still[0]!.said,
        },
  );
  return rows;
}

async function gone(fault: string, spoil: (file: string) => string): Promise<Row> {
  let acknowledged = 0;
  let lost = 0;
  let told = '';
  for (let round = 0; round < rounds; round++) {
    const file = join(folder, `${fault}-${round}.book`);
    const store = opened(file);
    await store.append(entriesOf(20 + round));
    const where = spoil(file);
    told = await sentenceOf(store.append([entryOf(90)]));
    await store.close();
    acknowledged += 20 + round;
    // A deleted file is gone by the will of who deleted it: nothing after it counts as kept.
    if (where !== '') lost += Math.max(0, 20 + round - (await countIn(where)));
  }
  return {
    fault: `${fault} while it is open`,
    rounds,
    acknowledged,
    lost,
    told: told.replace(/-\d+\.book/g, '.book'),
  };
}

async function copied(): Promise<Row> {
  let lost = 0;
  for (let round = 0; round < rounds; round++) {
    const file = join(folder, `copied-${round}.book`);
    const store = opened(file);
    await store.append(entriesOf(100));
    await wait(800);
    copyFileSync(file, `${file}.copy`);
    lost += 100 - (await countIn(`${file}.copy`));
    await store.close();
  }
  return {
    fault: 'copied while it is open, a moment after the last note',
    rounds,
    acknowledged: 100 * rounds,
    lost,
    told: 'nothing: the one file is whole',
  };
}

/** Opened a second time while it is open: by its own name, or by that of a link to it. */
async function openedTwice(fault: string, otherName: (file: string) => string): Promise<Row> {
  let lost = 0;
  let told = '';
  for (let round = 0; round < rounds; round++) {
    const file = join(folder, `twice-${round}.book`);
    const store = opened(file);
    await store.append(entriesOf(10, `d-${round}`));
    const second = openStore(otherName(file));
    await store.append([entryOf(11, `d-${round}`)]);
    await store.close();
    lost += second.ok ? 1 : 0;
    if (second.ok) await second.value.close();
    else told = plain(second.error.sentence).replace(/-\d+\.book/g, '.book');
    lost += 11 - (await countIn(file));
    unlinkSync(file);
  }
  return { fault, rounds, acknowledged: 11 * rounds, lost, told };
}

/** Bytes of one page changed: read whole, or refused; "lost" is what came out changed without a word. */
async function damaged(): Promise<Row> {
  const file = join(folder, 'damaged.book');
  const store = opened(file);
  await store.append(entriesOf(300));
  await store.close();
  const whole = readFileSync(file);
  const right = new Map(entriesOf(300).map((entry) => [entry.id, JSON.stringify(entry)]));
  const random = seeded(7);
  const sentences = new Map<string, number>();
  const pages = 200;
  let silent = 0;
  let read = 0;
  for (let round = 0; round < pages; round++) {
    const bytes = Buffer.from(whole);
    const page = Math.floor(random() * (bytes.length / 4096)) * 4096;
    for (let i = 0; i < 40; i++) bytes[page + Math.floor(random() * 4096)] = Math.floor(random() * 256);
    const spoiled = join(folder, 'spoiled.book');
    writeFileSync(spoiled, bytes);
    const again = openStore(spoiled);
    try {
      if (!again.ok) throw new Error(again.error.sentence);
      const { entries } = await again.value.since(0);
      read++;
      if (entries.length !== 300) silent++;
      for (const entry of entries) if (JSON.stringify(entry) !== right.get(entry.id)) silent++;
    } catch (cause) {
      const sentence = plain((cause as Error).message)
        .replace(/\d+/g, 'N')
        .replace(/:.*/, ': ...');
      sentences.set(sentence, (sentences.get(sentence) ?? 0) + 1);
    } finally {
      if (again.ok) await again.value.close();
      for (const part of ['', '-wal', '-shm', '-journal'])
        try {
          unlinkSync(spoiled + part);
        } catch {}
    }
  }
  const [most] = [...sentences].sort((a, b) => b[1] - a[1]);
  return {
    fault: `a page is damaged (${read} still read whole, ${pages - read} refused)`,
    rounds: pages,
    acknowledged: 300,
    lost: silent,
    told: most?.[0] ?? 'nothing',
  };
}

async function withoutLog(): Promise<Row> {
  let lost = 0;
  for (let round = 0; round < rounds; round++) {
    const file = join(folder, `log-${round}.book`);
    const store = opened(file);
    await store.append(entriesOf(30));
    unlinkSync(`${file}-wal`);
    await store.append([entryOf(31)]);
    // As after a kill: the file as it lies there, nobody closed it.
    copyFileSync(file, `${file}.after`);
    lost += 31 - (await countIn(`${file}.after`));
    await store.close();
  }
  return {
    fault: 'its log (-wal) is taken away while it is open',
    rounds,
    acknowledged: 31 * rounds,
    lost,
    told: 'nothing: the next note brings all into the book itself',
  };
}

const tenYears = 10 * 365 * 86_400_000;
/** Ten turns, at the third of which the clock leaps. */
const onward = (leap: number): readonly number[] =>
  Array.from({ length: rounds }, (_, turn) => (turn === 2 ? leap : 60_000));

/** A phone's clock beside a server's that is right; `steps` are what is added to it before each two notes. */
async function clock(fault: string, steps: readonly number[]): Promise<Row> {
  const file = join(folder, `${fault.replaceAll(/\W+/g, '-')}.book`);
  const language = createLanguage();
  const right = Date.UTC(2026, 4, 1, 12);
  let now = right;
  let acknowledged = 0;
  const said: string[] = [];
  const watch = new ClockWatch((sentence) => {
    if (sentence !== null) said.push(sentence);
  });
  const desk = await Desk.open({ store: opened(file), language, now: () => now });
  for (const step of steps) {
    now += step;
    for (const words of ['red oak sixteen inches', '9 paces, eye five and a half']) {
      const told = await desk.note(words);
      if (told.entry === null) continue;
      acknowledged++;
      watch.note(momentOf(told.entry).time);
      watch.compare(right, now);
    }
  }
  const inOrder = (of: Desk) => [...of.session.book.trees()].map(({ id }) => id).join(' ');
  const before = inOrder(desk);
  await desk.close();
  const again = await Desk.open({ store: opened(file), language, now: () => right });
  const same = inOrder(again) === before && before !== '';
  await again.close();
  return {
    fault: `${fault} (trees in the order they were told${same ? '' : ' NO MORE'} when opened again)`,
    rounds: steps.length,
    acknowledged,
    lost: acknowledged - (await countIn(file)) + (same ? 0 : 1),
    told: said[0] ?? 'nothing',
  };
}

export async function files(): Promise<Row[]> {
  return [
    ...disks(),
    await gone('deleted', (file) => {
      unlinkSync(file);
      return '';
    }),
    await gone('moved', (file) => {
      // With its log, as a folder is moved.
      for (const part of ['', '-wal', '-shm']) renameSync(file + part, `${file}.moved${part}`);
      return `${file}.moved`;
    }),
    await copied(),
    await openedTwice('opened by a second server', (file) => file),
    await openedTwice('opened by a second server through a link', (file) => {
      const link = `${file}.${Math.random()}.link`;
      symlinkSync(file, link);
      return link;
    }),
    await damaged(),
    await withoutLog(),
    await clock('the clock is set ten years on', onward(tenYears)),
    await clock('the clock is set back, by an hour and by ten years', [
      ...onward(-3_600_000),
      ...onward(-tenYears),
    ]),
  ];
}
