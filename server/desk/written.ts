/** The texts that a book can be written as, piece by piece: the report as a page, and the files. */
import { askTotals } from '../../shared/dialogue/ask-book.ts';
import type { Session } from '../../shared/dialogue/session.ts';
import { toJson } from '../../shared/report/files/entries.ts';
import { toGeoJson } from '../../shared/report/files/geojson.ts';
import { landFeatures, legsToCsv } from '../../shared/report/files/land-files.ts';
import { type FileTable, toCsv } from '../../shared/report/files/tables.ts';
import { woodOf } from '../../shared/report/files/wood.ts';
import { reportPieces } from '../../shared/report/page/page.ts';
import { reportOf } from '../../shared/report/page/report.ts';
import type { FileFormat } from '../../shared/wire.ts';

/** A text of a book; `made`: when, milliseconds since 1970. */
export type Written =
  | { readonly kind: 'report'; readonly made: number }
  | { readonly kind: 'file'; readonly format: FileFormat; readonly table: FileTable; readonly made: number };

export function* piecesOf(session: Session, what: Written): Generator<string> {
  if (what.kind === 'report') {
    yield* reportPieces(reportOf({ book: session.book, answers: askTotals(session), made: what.made }));
  } else yield fileOf(session, what.format, what.table);
}

export function fileOf(session: Session, format: FileFormat, table: FileTable): string {
  switch (format) {
    case 'csv':
      return table === 'legs' ? legsToCsv(session.book) : toCsv(woodOf(session.book), table);
    case 'geojson':
      return `${JSON.stringify(toGeoJson(woodOf(session.book), landFeatures(session.book)))}\n`;
    case 'json':
      return toJson([...session.book.entries]);
  }
}
