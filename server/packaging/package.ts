/**
 * `npm run package [-- FOLDER]`: the program as a package that installs in seconds: built modules, the built page and
 * the compiled language, with the three packages that are native as its only dependencies.
 */

import { execFileSync } from 'node:child_process';
import { cp, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { required } from '../../shared/core/required.ts';
import { buildPage } from '../http/page-build.ts';
import { licences } from '../http/site.ts';
import { keptAutomaton } from '../language/automaton-cache.ts';
import { places, root, runtimeFolder } from '../program/places.ts';
import { beside, buildProgram } from './program.ts';

/** What goes in as it is, with the picture that the README shows; recordings, training and sources stay away. */
const asTheyAre = [
  'LICENSE',
  'README.md',
  'THIRD-PARTY.md',
  'CHANGELOG.md',
  'client/screen-talk.png',
  'server/stemsay.mjs',
  'grammar/reading/learned/plain-forms.LICENSE',
  'server/speech/model',
  'server/speech/voice-activity/silero_vad.onnx',
  'server/speech/voice-activity/LICENSE',
  'shared/docs',
];
/** What the page runs on: one thread, with and without wide registers. */
const runtimeFiles = /^ort-wasm(-simd)?\.wasm$/;

const target = resolve(process.argv[2] ?? '.');
const stage = join(places.kept, 'package');
console.log(`The package is ${await pack()}`);

/** Makes the package file in the target folder; gives its path. */
async function pack(): Promise<string> {
  const built = join(stage, 'built');
  await rm(stage, { recursive: true, force: true });
  await mkdir(join(built, 'runtime'), { recursive: true });
  for (const name of asTheyAre) await cp(join(root, name), join(stage, name), { recursive: true });
  const page = await buildPage(root, { target: join(built, 'page'), withoutMaps: true });
  if (!page.ok) throw new Error(page.error);
  const packages = await buildProgram(built);
  for (const name of await readdir(runtimeFolder()))
    if (runtimeFiles.test(name)) await cp(join(runtimeFolder(), name), join(built, 'runtime', name));
  keptAutomaton(undefined, built);
  await writeFile(
    join(stage, 'LICENCES.txt'),
    await licences(root, [...new Set([...page.value.packages, ...packages])]),
  );
  await writeFile(join(stage, 'package.json'), `${JSON.stringify(await description(), null, 2)}\n`);
  await mkdir(target, { recursive: true });
  const told = execFileSync('npm', ['pack', '--json', '--pack-destination', target], {
    cwd: stage,
    encoding: 'utf8',
  });
  const [made] = JSON.parse(told) as { filename: string }[];
  return join(target, required(made, 'what npm packed').filename);
}

/** What npm needs to know: the program's own description, without what only its makers need. */
async function description(): Promise<object> {
  const whole = JSON.parse(await readFile(join(root, 'package.json'), 'utf8')) as {
    readonly dependencies: Readonly<Record<string, string>>;
    readonly optionalDependencies: Readonly<Record<string, string>>;
    readonly [key: string]: unknown;
  };
  const { name, version, description, license, type, engines, bin } = whole;
  const kept = (of: Readonly<Record<string, string>>) =>
    Object.fromEntries(Object.entries(of).filter(([one]) => beside.some((native) => native === one)));
  const dependencies = kept(whole.dependencies);
  const optionalDependencies = kept(whole.optionalDependencies);
  const allowScripts = { 'better-sqlite3': true };
  return {
    name,
    version,
    description,
    license,
    type,
    engines,
    bin,
    dependencies,
    optionalDependencies,
    allowScripts,
  };
}
