/**
 * Comma-separated text as RFC 4180 has it, written and read, with one addition: a text that a spreadsheet would run
 * as a formula is written with an apostrophe before it, and that apostrophe is taken off again on reading.
 */
import { err, ok, type Result } from '../../core/result.ts';

export type Cell = string | number | boolean | null;

/**
 * A text whose first character makes spreadsheets calculate; after any apostrophes, so that guarding can be undone.
 * Characters: OWASP, "CSV Injection".
 */
const formula = /^'*[=+\-@\t\r]/;
const guarded = /^'+[=+\-@\t\r]/;

/** Rows of cells to CSV: CRLF line ends, quotes only where they are needed. Numbers are never guarded: -71.3 stays one. */
export function writeCsv(rows: Iterable<readonly Cell[]>): string {
  let text = '';
  for (const row of rows) text += `${row.map(writeCell).join(',')}\r\n`;
  return text;
}

function writeCell(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') {
    if (!Number.isFinite(cell)) throw new RangeError(`a CSV cell cannot hold ${cell}`);
    return String(cell);
  }
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  const safe = formula.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

export interface CsvFault {
  /** Line of the text, from 1. */
  readonly line: number;
  readonly sentence: string;
}

/**
 * CSV to rows of texts. Takes LF or CRLF line ends, a byte order mark and a missing last line end; refuses a quote
 * that is not closed and text after a closing quote, with the line.
 */
export function readCsv(text: string): Result<string[][], CsvFault> {
  const rows: string[][] = [];
  let row: string[] = [];
  let line = 1;
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  if (at === text.length) return ok(rows);
  for (;;) {
    let cell = '';
    if (text[at] === '"') {
      const opened = line;
      for (at++; ; at++) {
        if (at >= text.length) {
          return err({ line: opened, sentence: `Line ${opened}: a quote is opened and never closed.` });
        }
        if (text[at] === '\n') line++;
        if (text[at] !== '"') cell += text[at];
        else if (text[at + 1] === '"') cell += text[at++];
        else break;
      }
      at++;
    } else {
      const from = at;
      while (at < text.length && text[at] !== ',' && text[at] !== '\n' && text[at] !== '\r') {
        if (text[at] === '"') {
          return err({
            line,
            sentence: `Line ${line}: a quote stands inside a cell that does not begin with one.`,
          });
        }
        at++;
      }
      cell = text.slice(from, at);
    }
    row.push(guarded.test(cell) ? cell.slice(1) : cell);
    if (text[at] === ',') {
      at++;
      continue;
    }
    if (text[at] === '\r' && text[at + 1] === '\n') at++;
    if (at < text.length && text[at] !== '\n') {
      return err({
        line,
        sentence: `Line ${line}: expected a comma or the end of the line, found ${JSON.stringify(text[at])}.`,
      });
    }
    rows.push(row);
    row = [];
    line++;
    at++;
    if (at >= text.length) return ok(rows);
  }
}
