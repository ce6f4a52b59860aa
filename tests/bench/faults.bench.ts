/**
 * Every fault, injected: how often, what had been acknowledged, what of it was lost, and what the person is told. Prints the
 * tables and writes them to shared/docs/faults.md. A few minutes; needs root for the disks, PostgreSQL for the database.
 * `STEMSAY_PARTS="files hostile"` for some of the tables; the others then stay as they are.
 */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { database } from './faults/database.ts';
import { edges } from './faults/edges.ts';
import { files } from './faults/files.ts';
import { hostile } from './faults/hostile.ts';
import { kills } from './faults/kills.ts';
import { folder, type Row } from './faults/row.ts';

export const name = 'faults';

type Print = (name: string, value: number | string, unit: string) => void;

const page = fileURLToPath(new URL('../../shared/docs/faults.md', import.meta.url));

const parts: readonly (readonly [heading: string, part: () => Promise<Row[]>])[] = [
  ['The file and the clock', files],
  ['A crew’s database', database],
  ['Entries that hurt', hostile],
  ['Valid entries at the edge of every limit', edges],
  ['Killed while it works', kills],
];

const head = `# Faults

Written by \`npm run bench -- faults\`: each fault was injected so many times, with this outcome. "Lost" counts entries that
somebody had been told are kept and that were not there afterwards, came out changed, or came out twice.
`;

const tableOf = (rows: readonly Row[]): string =>
  [
    '| fault injected | rounds | acknowledged | lost | what the person is told |',
    '|---|---|---|---|---|',
    ...rows.map(
      ({ fault, rounds, acknowledged, lost, told }) =>
        `| ${fault} | ${rounds} | ${acknowledged} | ${lost} | ${told.replaceAll('|', '\\|').replaceAll('\n', ' ')} |`,
    ),
  ].join('\n');

/** The page with one of its tables made anew. */
function write(heading: string, rows: readonly Row[]): void {
  const before = readFileSync(page, 'utf8').split(/\n(?=## )/);
  const tables = parts.flatMap(([title]) => {
    if (title === heading) return [`## ${title}\n\n${tableOf(rows)}\n`];
    const kept = before.find((section) => section.startsWith(`## ${title}\n`));
    return kept === undefined ? [] : [`${kept.trimEnd()}\n`];
  });
  writeFileSync(page, [head, ...tables].join('\n'));
}

export async function run(print: Print): Promise<void> {
  try {
    const wanted = process.env.STEMSAY_PARTS?.split(/\s+/);
    for (const [heading, part] of parts) {
      if (wanted !== undefined && !wanted.includes(part.name)) continue;
      const rows = await part();
      for (const row of rows) {
        print(
          row.fault,
          row.lost,
          `lost of ${row.acknowledged} acknowledged in ${row.rounds} rounds: ${row.told}`,
        );
      }
      write(heading, rows);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
