/** Reads the CSV tables under references: lines that start with `#` are provenance, the first other line names the columns. */
import { readFileSync } from 'node:fs';

export type Row = Readonly<Record<string, string>>;

export function readTable(path: string): Row[] {
  const text = readFileSync(new URL(`../references/${path}`, import.meta.url), 'utf8');
  const lines = text.split(/\r?\n/).filter((line) => line !== '' && !line.startsWith('#'));
  const names = cellsOf(lines[0]!);
  return lines.slice(1).map((line) => {
    const cells = cellsOf(line);
    return Object.fromEntries(names.map((name, i) => [name, cells[i] ?? '']));
  });
}

/** Splits a line at commas that are not inside quotes. */
const cellsOf = (line: string): string[] =>
  [...line.matchAll(/("([^"]*)"|[^,]*)(,|$)/g)]
    .map((match) => match[2] ?? match[1]!)
    .slice(0, line.endsWith(',') ? undefined : -1);

/** A column as numbers; throws where a cell is none, so that no comparison passes by being NaN. */
export function numbers(rows: readonly Row[], name: string): number[] {
  return rows.map((row) => number(row, name));
}

export function number(row: Row, name: string): number {
  const text = row[name];
  const value = Number(text);
  if (text === undefined || text === '' || !Number.isFinite(value)) {
    throw new Error(`no number in column ${name}: ${JSON.stringify(row)}`);
  }
  return value;
}
