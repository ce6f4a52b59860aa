/**
 * The phones that may come in: one small file each, so that letting one in or putting one out never rewrites what
 * another has, the command line may do it while the server runs, and a damaged file shuts out one phone and no more.
 * Of a phone's token only the SHA-256 is kept: it is 32 random bytes, so nothing slower is needed.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { readdirSync, readFileSync, rmSync, statSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import * as z from 'zod/mini';
import { folderBeside, ownFolder, writeOwn } from '../program/own-files.ts';

const fileSchema = z.strictObject({
  name: z.string().check(z.minLength(1), z.maxLength(60)),
  /** When it was let in, milliseconds since 1970. */
  made: z.number(),
  /** SHA-256 of its token, hexadecimal. */
  token: z.string().check(z.regex(/^[0-9a-f]{64}$/)),
});

export interface Phone {
  readonly id: string;
  readonly name: string;
  readonly made: number;
  /** When it last asked for something, milliseconds since 1970, to the minute. */
  readonly seen: number;
}

/** Why a token is not one of a phone that may come in. */
type Unknown = 'none' | 'wrong' | 'damaged';

const idPattern = /^[0-9a-f]{16}$/;
/** Characters of a name as it is kept. */
export const nameLength = 40;
/** Milliseconds between two notes of when a phone was seen. */
const seenEveryMs = 60_000;
const day = 86_400_000;

/** The phones of a book. */
export const phonesLetIn = (book: string, now?: () => number): Phones =>
  new Phones(join(folderBeside(book, 'access'), 'phones'), now);

export class Phones {
  constructor(
    private readonly folder: string,
    private readonly now: () => number = Date.now,
  ) {}

  /** Lets a phone in: gives the token that it must bring from now on, `id.secret`. */
  add(name: string): { readonly phone: Phone; readonly token: string } {
    ownFolder(this.folder);
    const id = randomBytes(8).toString('hex');
    const secret = randomBytes(32).toString('base64url');
    const made = this.now();
    const free = this.#freeName(name);
    writeOwn(this.#file(id), `${JSON.stringify({ name: free, made, token: hashOf(secret) })}\n`);
    return { phone: { id, name: free, made, seen: made }, token: `${id}.${secret}` };
  }

  /** The phone that brings this token, or why there is none. The file is read each time: a revoked phone is out at once. */
  find(token: string | undefined): Phone | Unknown {
    if (token === undefined || token === '') return 'none';
    const [id = '', secret = ''] = token.split('.', 2);
    if (!idPattern.test(id)) return 'wrong';
    const kept = this.#read(id);
    if (kept === null) return 'wrong';
    if (kept === 'damaged') return 'damaged';
    const given = Buffer.from(hashOf(secret), 'hex');
    if (!timingSafeEqual(given, Buffer.from(kept.token, 'hex'))) return 'wrong';
    const { token: _, ...phone } = kept;
    return phone;
  }

  /** Whether a phone was not here for a day and more. */
  wasAway(phone: Phone): boolean {
    return this.now() - phone.seen > day;
  }

  /** Notes that a phone was here. */
  touch(phone: Phone): void {
    const now = this.now();
    if (now - phone.seen < seenEveryMs && now >= phone.seen) return;
    try {
      utimesSync(this.#file(phone.id), now / 1000, now / 1000);
    } catch {
      // Put out in the same moment.
    }
  }

  /** Every phone, newest first, and the ids of files that cannot be read. */
  list(): { readonly phones: readonly Phone[]; readonly damaged: readonly string[] } {
    const phones: Phone[] = [];
    const damaged: string[] = [];
    for (const id of this.#ids()) {
      const kept = this.#read(id);
      if (kept === 'damaged') damaged.push(id);
      else if (kept !== null) {
        const { token: _, ...phone } = kept;
        phones.push(phone);
      }
    }
    return { phones: phones.sort((a, b) => b.made - a.made), damaged };
  }

  /** Puts a phone out, by its id or its name; gives its name, or null where there is none such. */
  remove(idOrName: string): string | null {
    const { phones, damaged } = this.list();
    const wanted = idOrName.trim().toLowerCase();
    const found = phones.find(({ id, name }) => id === wanted || name.toLowerCase() === wanted);
    const id = found?.id ?? damaged.find((one) => one === wanted);
    if (id === undefined) return null;
    rmSync(this.#file(id), { force: true });
    return found?.name ?? id;
  }

  #file(id: string): string {
    return join(this.folder, `${id}.json`);
  }

  #ids(): string[] {
    try {
      return readdirSync(this.folder).flatMap((file) => {
        const id = file.replace(/\.json$/, '');
        return file.endsWith('.json') && idPattern.test(id) ? [id] : [];
      });
    } catch {
      return [];
    }
  }

  #read(id: string): (Phone & { readonly token: string }) | 'damaged' | null {
    let text: string;
    let seen: number;
    try {
      text = readFileSync(this.#file(id), 'utf8');
      seen = statSync(this.#file(id)).mtimeMs;
    } catch (cause) {
      return (cause as NodeJS.ErrnoException).code === 'ENOENT' ? null : 'damaged';
    }
    try {
      return { id, seen, ...fileSchema.parse(JSON.parse(text)) };
    } catch {
      return 'damaged';
    }
  }

  /** The name as it may stand in a list, told apart from those that are there. */
  #freeName(given: string): string {
    const { phones } = this.list();
    const clean = given.replace(/[\p{C}\s]+/gu, ' ').trim();
    const wanted = [...clean].slice(0, nameLength).join('') || 'Phone';
    const taken = new Set(phones.map(({ name }) => name.toLowerCase()));
    let name = wanted;
    for (let number = 2; taken.has(name.toLowerCase()); number++) name = `${wanted} ${number}`;
    return name;
  }
}

const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');
