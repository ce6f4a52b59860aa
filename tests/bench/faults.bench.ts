/**
 * Every fault, injected: how often, what had been acknowledged, what of it was lost, and what the person is told. Prints the
 * table and writes it to shared/docs/faults.md. A few minutes; needs root for the disks, PostgreSQL for the database.
 * `STEMSAY_PARTS="files hostile"` for some of them, which writes nothing.
 */
import { rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { database } from './faults/database.ts';
import { files } from './faults/files.ts';
import { hostile } from './faults/hostile.ts';
import { kills } from './faults/kills.ts';
import { folder, type Row } from './faults/row.ts';

export const name = 'faults';

type Print = (name: string, value: number | string, unit: string) => void;

const page = fileURLToPath(new URL('../../shared/docs/faults.md', import.meta.url));

const tableOf = (rows: readonly Row[]): string =>
  [
    '# Faults',
    '',
    'Written by `npm run bench -- faults`: each fault was injected so many times, with this outcome. "Lost" counts entries that',
    'somebody had been told are kept and that were not there afterwards, came out changed, or came out twice.',
    '',
    '| fault injected | rounds | acknowledged | lost | what the person is told |',
    '|---|---|---|---|---|',
    ...rows.map(
      ({ fault, rounds, acknowledged, lost, told }) =>
        `| ${fault} | ${rounds} | ${acknowledged} | ${lost} | ${told.replaceAll('|', '\\|').replaceAll('\n', ' ')} |`,
    ),
    '',
  ].join('\n');

export async function run(print: Print): Promise<void> {
  const rows: Row[] = [];
  try {
    const wanted = process.env.STEMSAY_PARTS?.split(/\s+/);
    for (const part of [files, database, hostile, kills]) {
      if (wanted !== undefined && !wanted.includes(part.name)) continue;
      for (const row of await part()) {
        rows.push(row);
        print(
          row.fault,
          row.lost,
          `lost of ${row.acknowledged} acknowledged in ${row.rounds} rounds: ${row.told}`,
        );
      }
    }
    if (wanted === undefined) writeFileSync(page, tableOf(rows));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
