/** The tables of a crew's database, and how they are brought up to date. Made once by a role that may make tables. */
import type pg from 'pg';
import { StoreError } from './store.ts';

/** Each brings the tables from the version of its index to the next. Never edit one that was released: add one. */
const migrations: readonly string[] = [
  `CREATE TABLE stemsay_books (
     book text PRIMARY KEY,
     cursor bigint NOT NULL DEFAULT 0
   );
   CREATE TABLE stemsay_entries (
     book text NOT NULL REFERENCES stemsay_books,
     cursor bigint NOT NULL,
     id uuid NOT NULL,
     body text NOT NULL,
     PRIMARY KEY (book, cursor),
     UNIQUE (book, id)
   );
   CREATE TABLE stemsay_clips (
     book text NOT NULL REFERENCES stemsay_books,
     ref text NOT NULL,
     wav bytea NOT NULL,
     PRIMARY KEY (book, ref)
   );
   CREATE TABLE stemsay_devices (
     number integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
     book text NOT NULL REFERENCES stemsay_books,
     host text NOT NULL,
     device text NOT NULL
   );`,
  // Check sums as in a file; how often a device was taken, so that who lost his connection sees whether another had it;
  // and what a file forbids, forbidden here too.
  `ALTER TABLE stemsay_entries ADD COLUMN crc bigint;
   ALTER TABLE stemsay_devices ADD COLUMN taken integer NOT NULL DEFAULT 0;
   CREATE FUNCTION stemsay_stays() RETURNS trigger LANGUAGE plpgsql AS
     $$ BEGIN RAISE EXCEPTION 'entries are never changed or deleted'; END $$;
   CREATE TRIGGER stemsay_entries_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON stemsay_entries
     FOR EACH STATEMENT EXECUTE FUNCTION stemsay_stays();`,
];

/** Any number that only this program's locks use ("Stem"). */
export const lockSpace = 0x5374656d;

async function versionIn(client: pg.PoolClient): Promise<number | null> {
  const { rows: there } = await client.query<{ is: boolean }>(
    `SELECT to_regclass('stemsay_version') IS NOT NULL AS is`,
  );
  if (there[0]?.is !== true) return null;
  const { rows } = await client.query<{ version: number }>('SELECT version FROM stemsay_version');
  return rows[0]?.version ?? 0;
}

/** Makes the tables, or brings them up to date; a role that may make none does nothing where they are. */
export async function migrate(client: pg.PoolClient): Promise<void> {
  await client.query('SELECT pg_advisory_xact_lock($1, 0)', [lockSpace]);
  const version = await versionIn(client);
  if (version === migrations.length) return;
  if (version !== null && version > migrations.length) throw new StoreError(newer(version));
  if (version === null) await client.query('CREATE TABLE stemsay_version (version integer NOT NULL)');
  for (const step of migrations.slice(version ?? 0)) await client.query(step);
  await client.query('DELETE FROM stemsay_version');
  await client.query('INSERT INTO stemsay_version VALUES ($1)', [migrations.length]);
}

/** For who only reads: the tables are there and as this program knows them. */
export async function lookAt(client: pg.PoolClient): Promise<void> {
  const version = await versionIn(client);
  if (version === null)
    throw new StoreError({ kind: 'missing', sentence: 'there is no book in this database yet.' });
  if (version > migrations.length) throw new StoreError(newer(version));
  if (version < migrations.length)
    throw new StoreError({
      kind: 'older',
      sentence: `its tables are of an older stemsay (version ${version}). Open a book of it once to write and they are brought up to date.`,
    });
}

const newer = (version: number) =>
  ({
    kind: 'newer',
    sentence: `it was set up by a newer stemsay (version ${version}, this program knows ${migrations.length}) and was left as it is.`,
  }) as const;
