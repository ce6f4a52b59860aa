/** A book's file opened behind the program's back, by the driver that the program uses itself. */
import { openSqlite, type SqliteDatabase } from '../../server/journal/sqlite-driver.ts';

export const openRaw = (file: string, readonly = false): SqliteDatabase =>
  openSqlite(file, { readonly, timeout: 5000 });
