/**
 * The page as a folder that any HTTPS host can serve, at any path: with the ear of the page, and with the licences of
 * everything in it. It needs no server and asks none.
 */
import { existsSync } from 'node:fs';
import { cp, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { checkDescription } from '../../grammar/description/checks.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { places, runtimeFolder } from '../program/places.ts';
import { buildPage } from './page-build.ts';

/** A file by which a folder is known as one that this made, and may be made anew. */
const mark = 'stemsay-page.txt';

/** What the page runs on: one thread, with and without wide registers. */
const runtimeFiles = /^ort-wasm(-simd)?\.wasm$/;

/** Builds the folder; fails with a sentence. What an earlier build left there is replaced, nothing else is touched. */
export async function buildSite(root: string, target: string): Promise<Result<null, string>> {
  if (existsSync(target) && (await readdir(target)).length > 0 && !existsSync(join(target, mark)))
    return err(`${target} is there already and is no page of stemsay. Name an empty folder.`);
  const mistakes = checkDescription(parseDescription(grammar));
  if (mistakes.length > 0) return err(mistakes.map(({ message }) => message).join('\n'));
  try {
    await rm(target, { recursive: true, force: true });
    await mkdir(target, { recursive: true });
    await writeFile(
      join(target, mark),
      'A page of stemsay, made by "npm run build": serve this folder over HTTPS, at any path.\n',
    );
    const built = await buildPage(root, { target, withoutServer: true });
    if (!built.ok) return built;
    const runtime = runtimeFolder();
    await cp(places.model, join(target, 'model'), { recursive: true });
    await mkdir(join(target, 'voice-activity'));
    for (const name of ['silero_vad.onnx', 'LICENSE'])
      await cp(join(places.voiceActivity, name), join(target, 'voice-activity', name));
    await mkdir(join(target, 'runtime'));
    for (const name of await readdir(runtime))
      if (runtimeFiles.test(name)) await cp(join(runtime, name), join(target, 'runtime', name));
    await writeFile(join(target, 'licences.txt'), await licences(root, built.value.packages));
    return ok(null);
  } catch (cause) {
    return err(`The folder could not be made: ${cause instanceof Error ? cause.message : cause}`);
  }
}

/** Our licence, what we say of the work of others, and the whole licence of each package in the page. */
export async function licences(root: string, packages: readonly string[]): Promise<string> {
  const parts = [
    await readFile(join(root, 'LICENSE'), 'utf8'),
    await readFile(join(root, 'THIRD-PARTY.md'), 'utf8'),
  ];
  for (const folder of packages) {
    const at = join(root, folder);
    const { name, version, license } = JSON.parse(await readFile(join(at, 'package.json'), 'utf8')) as {
      name?: string;
      version?: string;
      license?: string;
    };
    const texts = (await readdir(at)).filter((file) => /^(licen[cs]e|notice|copying)/i.test(file)).sort();
    const text = await Promise.all(texts.map((file) => readFile(join(at, file), 'utf8')));
    parts.push(
      `${name ?? basename(folder)} ${version ?? ''} (${license ?? 'see below'})\n\n${text.join('\n')}`,
    );
  }
  return `${parts.map((part) => part.trim()).join(`\n\n${'-'.repeat(72)}\n\n`)}\n`;
}
