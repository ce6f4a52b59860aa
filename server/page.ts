/** Builds the page from `client/` into `dist/`: bundles its scripts, copies the rest. */

import { existsSync } from 'node:fs';
import { cp, mkdir, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { build } from 'esbuild';
import { err, ok, type Result } from '../shared/result.ts';

/** Scripts of the page that the browser loads by themselves, where they exist. */
const entries = ['main.ts', 'sw.ts', 'worker.ts'];
const copied = /\.(html|css|svg|png|ico|webmanifest|woff2)$/;

/** Resolves to whether there is a page now; a mistake in its sources is a sentence, not the end of the server. */
export async function buildPage(root: string): Promise<Result<null, string>> {
  const [source, target] = [join(root, 'client'), join(root, 'dist')];
  const entryPoints = entries.map((name) => join(source, name)).filter((file) => existsSync(file));
  if (entryPoints.length === 0) return err('There is no page to build: client/ has no main.ts.');
  try {
    await mkdir(target, { recursive: true });
    await build({
      entryPoints,
      outdir: target,
      bundle: true,
      minify: true,
      sourcemap: 'linked',
      format: 'esm',
      target: 'es2022',
      logLevel: 'silent',
    });
    for (const name of await readdir(source, { recursive: true })) {
      if (copied.test(name)) await cp(join(source, name), join(target, name));
    }
    return ok(null);
  } catch (cause) {
    return err(`The page could not be built: ${cause instanceof Error ? cause.message : cause}`);
  }
}
