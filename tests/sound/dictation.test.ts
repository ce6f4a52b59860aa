import { fork } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import {
  createDictation,
  type Dictation,
  dictationFiles,
  remarkText,
} from '../../server/speech/dictation.ts';
import { fetchDictation } from '../../server/speech/fetch-dictation.ts';
import { ok } from '../../shared/core/result.ts';
import { fakeHearing, fakeLanguage } from '../support/fakes.ts';

const folder = mkdtempSync(join(tmpdir(), 'dictation-'));
const full = join(folder, 'full');
for (const file of dictationFiles) {
  mkdirSync(dirname(join(full, file)), { recursive: true });
  writeFileSync(join(full, file), `${file} `.repeat(50));
}
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const open: Dictation[] = [];
let spawned = 0;
const dictation = (more: { patience?: number; folder?: string; idle?: number } = {}) => {
  const made = createDictation({
    folder: full,
    spawn: () => {
      spawned++;
      return fork(new URL('./writer.mjs', import.meta.url), { serialization: 'advanced' });
    },
    ...more,
  });
  open.push(made);
  return made;
};
afterEach(() => {
  for (const one of open.splice(0)) one.close();
  spawned = 0;
});
const clip = (length: number) => new Float32Array(length);

describe('dictation', () => {
  it('without its files says which is missing and how to get it, and starts nothing', async () => {
    const absent = dictation({ folder: join(folder, 'nowhere') });
    expect(absent.missing).toContain('config.json');
    const words = await absent.write(clip(100));
    expect(words).toEqual({ ok: false, error: absent.missing });
    expect(words.ok ? '' : words.error).toContain('stemsay fetch-dictation');
    expect(spawned).toBe(0);
  });

  it('writes clips down one after another in one process', async () => {
    const made = dictation();
    expect(made.missing).toBeNull();
    const all = await Promise.all([clip(100), clip(200)].map((each) => made.write(each)));
    expect(all).toEqual([
      { ok: true, value: ' Remark: 100 samples came.' },
      { ok: true, value: ' Remark: 200 samples came.' },
    ]);
    expect(spawned).toBe(1);
  });

  it('that dies, hangs or fails costs the clip its words and nothing else', async () => {
    const made = dictation({ patience: 1500 });
    expect((await made.write(clip(1))).ok).toBe(false);
    expect((await made.write(clip(100))).ok).toBe(true);
    expect(spawned).toBe(2);
    expect(await made.write(clip(2))).toMatchObject({
      ok: false,
      error: expect.stringContaining('too long'),
    });
    expect(await made.write(clip(3))).toMatchObject({
      ok: false,
      error: expect.stringContaining('no such model'),
    });
    expect((await made.write(clip(100))).ok).toBe(true);
  });

  it('ends its process when it has rested', async () => {
    const made = dictation({ idle: 20 });
    await made.write(clip(100));
    await new Promise((resolve) => setTimeout(resolve, 200));
    await made.write(clip(100));
    expect(spawned).toBe(2);
  });

  it('leaves off the word with which the remark began', () => {
    expect(remarkText(' Remark, fork at 20 feet.')).toBe('fork at 20 feet');
    expect(remarkText('Make a note: old fire scar. North side.')).toBe('old fire scar. North side');
    expect(remarkText('[BLANK_AUDIO]')).toBe('');
    expect(remarkText('Notes remarkable growth')).toBe('remarkable growth');
  });
});

describe('a remark that was spoken', () => {
  const remark = (text: string, posterior: number) => ({
    notes: [{ kind: 'remark' as const, text }] as const,
    words: `remark ${text}`,
    posterior,
  });
  const desk = (candidates: ReturnType<typeof remark>[]) =>
    Desk.open({
      store: new MemoryStore(),
      language: fakeLanguage,
      hearing: {
        ...fakeHearing,
        hear: async () =>
          ok({
            candidates,
            facts: { margin: 0, posterior: 0.5 },
            phones: '',
            timings: { features: 0, encoder: 0, search: 0 },
          }),
      },
      dictation: dictation(),
    });
  const sound = { samples: clip(100), seconds: 100 / 16000, warnings: [] };

  it('has the words of dictation, its rival wordings asked no more, and its clip', async () => {
    const one = await desk([remark('good see tree', 0.54), remark('good sea tree', 0.42)]);
    const told = await one.sound(sound, new Uint8Array(44));
    expect(told.answer).toMatchObject({ state: 'kept', note: { kind: 'remark', text: '100 samples came' } });
    expect(told.entry?.words).toBe('remark good see tree');
    expect(await one.store.clip(told.entry!.heard!.clip!)).toEqual(new Uint8Array(44));
    await one.close();
  });

  it('keeps the words that were heard when the ear believes them, and starts no dictation', async () => {
    const one = await desk([remark('fork at twenty feet', 0.96)]);
    const told = await one.sound(sound, new Uint8Array(44));
    expect(told.answer.note).toEqual({ kind: 'remark', text: 'fork at twenty feet' });
    expect(spawned).toBe(0);
    await one.close();
  });
});

describe('fetching dictation', () => {
  let server: Server | undefined;
  const asked: string[] = [];
  afterEach(() => {
    server?.close();
    asked.length = 0;
  });
  /** Serves the full folder; `spoil` may cut a file short. */
  const serve = async (spoil: string | null = null): Promise<string> => {
    server = createServer((request, response) => {
      asked.push(`${request.method} ${request.url}`);
      const name = request.url!.replace('/files/', '');
      try {
        const bytes = readFileSync(join(full, name));
        response.setHeader('content-length', bytes.length);
        if (request.method === 'HEAD') response.end();
        else if (name === spoil) {
          response.write(bytes.subarray(0, 10));
          response.destroy();
        } else response.end(bytes);
      } catch {
        response.statusCode = 404;
        response.end();
      }
    });
    await new Promise<void>((resolve) => server!.listen(0, '127.0.0.1', resolve));
    return `http://127.0.0.1:${(server.address() as AddressInfo).port}/files`;
  };
  const to = join(folder, 'fetched');
  const plans: string[] = [];
  const fetchFrom = (from: string, agree = true) =>
    fetchDictation({
      from,
      to,
      agree: async (plan) => {
        plans.push(plan);
        return agree;
      },
      tell: () => {},
    });

  it('says from where, how much and to where before it fetches anything, and takes no for an answer', async () => {
    const from = await serve();
    expect(await fetchFrom(from, false)).toEqual({ ok: false, error: 'Nothing was fetched.' });
    const bytes = dictationFiles.reduce((sum, file) => sum + 50 * (file.length + 1), 0);
    expect(plans.at(-1)).toBe(
      `${dictationFiles.length} files, ${(bytes / 1e6).toFixed(1)} MB, from ${from}/ to ${to}.`,
    );
    expect(asked.every((line) => line.startsWith('HEAD'))).toBe(true);
  });

  it('fetches every file; then dictation has what it needs', async () => {
    expect((await fetchFrom(await serve())).ok).toBe(true);
    expect(createDictation({ folder: to }).missing).toBeNull();
    for (const file of dictationFiles)
      expect(readFileSync(join(to, file))).toEqual(readFileSync(join(full, file)));
    rmSync(to, { recursive: true });
  });

  it('keeps no file that came in part', async () => {
    const cut = 'onnx/decoder_model_merged_quantized.onnx';
    const fetched = await fetchFrom(await serve(cut));
    expect(fetched).toMatchObject({ ok: false, error: expect.stringContaining(cut) });
    expect(readdirSync(join(to, 'onnx'))).toEqual(['encoder_model_quantized.onnx']);
  });

  it('tells an address that is none, that is not there, that does not answer', async () => {
    expect(await fetchFrom('ftp://127.0.0.1/x')).toMatchObject({ error: expect.stringContaining('http') });
    const from = await serve();
    expect(await fetchFrom(`${from}/elsewhere`)).toMatchObject({ error: expect.stringContaining('404') });
    server!.close();
    expect(await fetchFrom('http://127.0.0.1:9/')).toMatchObject({
      error: expect.stringContaining('reached'),
    });
  });
});
