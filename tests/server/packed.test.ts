/** Files compressed for the way: what comes out is what went in, and nothing that happens to the kept ones matters. */
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import fc from 'fast-check';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { packed } from '../../server/http/packed.ts';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'packed-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

const unpack = { br: brotliDecompressSync, gzip: gunzipSync } as const;

test('any bytes come out the same, the first time and from the folder', async () => {
  await fc.assert(
    fc.asyncProperty(fc.uint8Array(), fc.constantFrom('br', 'gzip'), async (bytes, packing) => {
      for (let time = 0; time < 2; time++)
        expect(new Uint8Array(unpack[packing](await packed(Buffer.from(bytes), packing, folder)))).toEqual(
          bytes,
        );
    }),
    { numRuns: 40 },
  );
});

test('what was packed once is read, not packed again', async () => {
  const content = Buffer.from('red maple eleven point four');
  const first = await packed(content, 'br', folder);
  const [name] = await readdir(folder);
  const kept = await readFile(join(folder, name!));
  // Read as it is in the file, after its fingerprint.
  expect(kept.subarray(32)).toEqual(Buffer.from(first));
  expect(await packed(content, 'br', folder)).toEqual(first);
  expect(await readdir(folder)).toEqual([name]);
});

test('a spoiled file, or a folder that cannot be written, costs only the time', async () => {
  const content = Buffer.from('white pine ninety four feet');
  const first = await packed(content, 'br', folder);
  const [name] = await readdir(folder);
  for (const spoiled of [Buffer.alloc(0), Buffer.from('half'), Buffer.alloc(80, 7)]) {
    await writeFile(join(folder, name!), spoiled);
    expect(await packed(content, 'br', folder)).toEqual(first);
  }
  const file = join(folder, 'no folder');
  await writeFile(file, '');
  expect(await packed(content, 'br', join(file, 'in it'))).toEqual(first);
});

test('older ones make room', async () => {
  for (let n = 0; n < 203; n++) await packed(Buffer.from(`${n}`), 'gzip', folder);
  expect((await readdir(folder)).length).toBe(200);
});
