/**
 * Files compressed for the way, kept from one start to the next: the best packing takes a second for the compiled
 * language, and a phone in the woods waits for every byte. What is kept is found again by its very bytes only.
 */
import { createHash } from 'node:crypto';
import { mkdir, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { brotliCompress, constants, gzip } from 'node:zlib';
import { places } from '../program/places.ts';

const [brotli, gzipped] = [promisify(brotliCompress), promisify(gzip)];
const packers = {
  br: (content: Buffer) =>
    brotli(content, {
      params: {
        [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
        [constants.BROTLI_PARAM_SIZE_HINT]: content.length,
      },
    }),
  gzip: (content: Buffer) => gzipped(content, { level: 9 }),
} as const;
export type Packing = keyof typeof packers;

const usual = join(places.kept, 'packed');
/** A page has some forty files; older builds make room. */
const mostKept = 200;

const digestOf = (bytes: Uint8Array): Buffer => createHash('sha256').update(bytes).digest();
const digestLength = 32;

/**
 * The bytes of `content`, packed as small as it goes. Never fails for the sake of the folder: one that cannot be
 * written, or a spoiled file in it, only costs the time to pack again.
 */
export async function packed(
  content: Buffer,
  packing: Packing,
  folder = usual,
): Promise<Uint8Array<ArrayBuffer>> {
  const file = join(folder, `${digestOf(content).toString('hex').slice(0, 32)}.${packing}`);
  const kept = await read(file);
  if (kept !== null) return kept;
  const bytes = Uint8Array.from(await packers[packing](content));
  await keep(folder, file, bytes).catch(() => undefined);
  return bytes;
}

async function read(file: string): Promise<Uint8Array<ArrayBuffer> | null> {
  try {
    const bytes = Uint8Array.from(await readFile(file));
    const body = bytes.subarray(digestLength);
    return digestOf(body).equals(bytes.subarray(0, digestLength)) ? body : null;
  } catch {
    return null;
  }
}

async function keep(folder: string, file: string, bytes: Uint8Array): Promise<void> {
  await mkdir(folder, { recursive: true });
  // Renamed when whole: two programs that start at once never see half a file.
  const part = `${file}.${process.pid}`;
  await writeFile(part, Buffer.concat([digestOf(bytes), bytes]));
  await rename(part, file);
  const names = await readdir(folder);
  if (names.length <= mostKept) return;
  const byAge = await Promise.all(
    names.map(async (name) => ({ name, time: (await stat(join(folder, name))).mtimeMs })),
  );
  for (const { name } of byAge.sort((a, b) => b.time - a.time).slice(mostKept))
    await rm(join(folder, name), { force: true });
}
