/** The commands that read a book and change nothing: `totals`, `doubts`, `export`, `report`, `check`. */

import { columnList } from '../../shared/report/files/csv.ts';
import { legColumns } from '../../shared/report/files/land-files.ts';
import { fileColumns, metricColumns } from '../../shared/report/files/tables.ts';
import { reportPage } from '../../shared/report/page/page.ts';
import { answerLines, reportOf, reportText } from '../../shared/report/page/report.ts';
import { fileFormats } from '../../shared/wire.ts';
import type { Desk } from '../desk/desk.ts';
import { openBook } from '../journal/books.ts';
import { checkBook } from './check.ts';
import {
  bookNamed,
  oneOf,
  openDesk,
  RefusedError,
  saveFile,
  type Terminal,
  type Values,
  write,
} from './terminal.ts';

export const totals = (values: Values, terminal: Terminal): Promise<number> =>
  printed('totals', values, terminal, (desk) => {
    const answers = desk.totals();
    return values.json ? `${JSON.stringify({ answers })}\n` : `${answerLines(answers).join('\n')}\n`;
  });

export const doubts = (values: Values, terminal: Terminal): Promise<number> =>
  printed('doubts', values, terminal, (desk) => {
    const found = desk.doubts();
    if (values.json) return `${JSON.stringify({ doubts: found })}\n`;
    const lines = found.map(
      (one) => `${one.state}${one.tree === null ? '' : `, tree ${one.tree}`}: ${one.sentence}`,
    );
    return `${lines.join('\n') || 'None.'}\n`;
  });

export async function exportBook(values: Values, terminal: Terminal): Promise<number> {
  if (values.columns) {
    const columns = columnList(values.table === 'legs' ? legColumns : fileColumns('feet'));
    const metric = metricColumns.map(([name, feet]) => `${name} for ${feet}`).join(', ');
    if (values.table !== 'legs') columns.push(`In a metric book: ${metric}.`);
    terminal.stdout.write(`${columns.join('\n')}\n`);
    return 0;
  }
  const format = oneOf('format', values.format, fileFormats);
  const table = oneOf('table', values.table ?? 'all', ['all', 'trees', 'plots', 'legs'] as const);
  return printed('export', values, terminal, (desk) => desk.export(format, table));
}

/** To standard output, or to a file, as a page when its name ends like that of one. */
export async function report(values: Values, terminal: Terminal): Promise<number> {
  const usual = /\.html?$/i.test(values.out ?? '') ? 'html' : 'text';
  const format = oneOf('format', values.format ?? usual, ['text', 'html'] as const);
  return printed('report', values, terminal, async (desk) => {
    const made = reportOf({ book: desk.session.book, answers: desk.totals(), made: terminal.now() });
    const text = format === 'html' ? reportPage(made) : reportText(made);
    if (values.out === undefined) return text;
    await saveFile(values.out, text);
    return `The report is in ${values.out}.\n`;
  });
}

/** Opens the book that was named, prints what the work makes of it, and closes it. */
async function printed(
  command: string,
  values: Values,
  terminal: Terminal,
  work: (desk: Desk) => string | Promise<string>,
): Promise<number> {
  bookNamed(values, command);
  const desk = await openDesk(values, terminal, { mode: 'read' });
  try {
    await write(terminal.stdout, await work(desk));
  } finally {
    await desk.close();
  }
  return 0;
}

/** What is wrong in a book, a line each, then how much was looked at. Status 1 when anything is. */
export async function check(values: Values, terminal: Terminal): Promise<number> {
  const store = await openBook(bookNamed(values, 'check'), 'read');
  if (!store.ok) throw new RefusedError(store.error.sentence);
  try {
    const found = await checkBook(store.value, terminal.language());
    if (values.json) terminal.stdout.write(`${JSON.stringify(found)}\n`);
    else {
      for (const problem of found.problems) terminal.stdout.write(`${problem}\n`);
      const verdict = found.problems.length === 0 ? 'nothing wrong' : `${found.problems.length} wrong`;
      const older = found.notCompared === 0 ? '' : `, ${found.notCompared} of another grammar not read again`;
      terminal.stdout.write(
        `${found.entries} entries of ${found.devices === 1 ? '1 device' : `${found.devices} devices`}, ${found.reread} read again${older}: ${verdict}.\n`,
      );
    }
    return found.problems.length === 0 ? 0 : 1;
  } finally {
    await store.value.close();
  }
}
