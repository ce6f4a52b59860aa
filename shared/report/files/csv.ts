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

interface CsvFault {
  /** Line of the text, from 1. */
  readonly line: number;
  readonly sentence: string;
}

/**
 * CSV to rows of texts. Takes LF or CRLF line ends, a byte order mark and a missing last line end; refuses a quote
 * that is not closed and text after a closing quote, with the line.
 */
export function readCsv(text: string): Result<string[][], CsvFault> {
  const reader = new CsvReader(text);
  const rows: string[][] = [];
  while (!reader.ended) {
    const row = reader.row();
    if (!row.ok) return row;
    rows.push(row.value);
  }
  return ok(rows);
}

class CsvReader {
  #at: number;
  #line = 1;

  constructor(private readonly text: string) {
    this.#at = text.charCodeAt(0) === byteOrderMark ? 1 : 0;
  }

  get ended(): boolean {
    return this.#at >= this.text.length;
  }

  /** The cells up to the end of the line, which is passed. */
  row(): Result<string[], CsvFault> {
    const cells: string[] = [];
    for (;;) {
      const cell = this.text[this.#at] === '"' ? this.#quoted() : this.#bare();
      if (!cell.ok) return cell;
      cells.push(guarded.test(cell.value) ? cell.value.slice(1) : cell.value);
      if (this.text[this.#at] === ',') {
        this.#at++;
        continue;
      }
      if (this.text[this.#at] === '\r' && this.text[this.#at + 1] === '\n') this.#at++;
      const found = this.text[this.#at];
      if (found !== undefined && found !== '\n')
        return this.#fault(`expected a comma or the end of the line, found ${JSON.stringify(found)}.`);
      this.#at++;
      this.#line++;
      return ok(cells);
    }
  }

  /** A cell in quotes: doubled quotes stand for one, line ends belong to it. */
  #quoted(): Result<string, CsvFault> {
    const opened = this.#line;
    let cell = '';
    for (this.#at++; this.#at < this.text.length; this.#at++) {
      const char = this.text.charAt(this.#at);
      if (char === '\n') this.#line++;
      if (char !== '"') cell += char;
      else if (this.text[this.#at + 1] === '"') cell += this.text.charAt(this.#at++);
      else {
        this.#at++;
        return ok(cell);
      }
    }
    return this.#fault('a quote is opened and never closed.', opened);
  }

  #bare(): Result<string, CsvFault> {
    const from = this.#at;
    for (; !this.ended; this.#at++) {
      const char = this.text.charAt(this.#at);
      if (char === ',' || char === '\n' || char === '\r') break;
      if (char === '"') return this.#fault('a quote stands inside a cell that does not begin with one.');
    }
    return ok(this.text.slice(from, this.#at));
  }

  #fault(what: string, line = this.#line): Result<never, CsvFault> {
    return err({ line, sentence: `Line ${line}: ${what}` });
  }
}

const byteOrderMark = 0xfeff;

export interface CsvColumn {
  readonly name: string;
  /** Unit or form of the values. */
  readonly unit: string;
  readonly meaning: string;
}

/** A line of help for every column: `dbh_in (inches): diameter outside bark at breast height`. */
export const columnList = (columns: readonly CsvColumn[]): string[] =>
  columns.map(({ name, unit, meaning }) => `${name} (${unit}): ${meaning}`);
