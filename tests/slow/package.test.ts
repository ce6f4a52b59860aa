/**
 * The package that people install: made, unpacked into an empty folder beside its three native dependencies, and used
 * there as a user would: a typed note, the page, a spoken note, the server's own voice.
 */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'package-'));
const installed = join(folder, 'node_modules', 'stemsay');
const command = join(installed, 'server', 'stemsay.mjs');
let server: ChildProcess;
let url = '';

beforeAll(async () => {
  execFileSync(process.execPath, ['--import', 'tsx', 'server/packaging/package.ts', folder], { cwd: root });
  const file = readdirSync(folder).find((name) => name.endsWith('.tgz'))!;
  mkdirSync(installed, { recursive: true });
  execFileSync('tar', ['xzf', join(folder, file), '-C', installed, '--strip-components', '1']);
  const { dependencies, optionalDependencies } = JSON.parse(
    readFileSync(join(installed, 'package.json'), 'utf8'),
  ) as Record<'dependencies' | 'optionalDependencies', Record<string, string>>;
  for (const name of Object.keys({ ...dependencies, ...optionalDependencies })) {
    mkdirSync(join(folder, 'node_modules', name, '..'), { recursive: true });
    symlinkSync(join(root, 'node_modules', name), join(folder, 'node_modules', name));
  }
  server = spawn(process.execPath, [command, 'serve', '--book', join(folder, 'wood.book')], {
    cwd: folder,
    env: { ...process.env, PORT: '0' },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  url = await new Promise((resolve, reject) => {
    let said = '';
    server.stdout!.on('data', (part: Buffer) => {
      said += part;
      const at = /http:\/\/localhost:\d+/.exec(said);
      if (at) resolve(at[0]);
    });
    server.once('exit', (code) => reject(new Error(`the server ended with ${code}`)));
  });
}, 240_000);

afterAll(() => {
  server?.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

test('it has no sources, no compiler and no tools', () => {
  const names = readdirSync(installed, { recursive: true, encoding: 'utf8' });
  expect(names.filter((name) => /\.(ts|tsx|py|map)$/.test(name))).toEqual([]);
  const bytes = names.map((name) => statSync(join(installed, name))).reduce((sum, { size }) => sum + size, 0);
  expect(bytes).toBeLessThan(64e6);
});

test('a note on the command line is answered', () => {
  const said = execFileSync(
    process.execPath,
    [command, 'note', '--book', join(folder, 'other.book'), 'my pace is five point two feet'],
    { cwd: folder, encoding: 'utf8' },
  );
  expect(said).toBe('Pace 5.2 feet, give or take 0.16.\n');
});

test('a note that only the learned reader reads is answered', () => {
  const words = 'my eyeballs sit five foot four up';
  const said = execFileSync(
    process.execPath,
    [command, 'note', '--book', join(folder, 'third.book'), words],
    {
      cwd: folder,
      encoding: 'utf8',
    },
  );
  expect(said).toContain('Eye height 5 feet 4');
});

test('the page comes with its language, its model and what runs it', async () => {
  for (const path of [
    '/',
    '/main.js',
    '/language.bin',
    '/sw.js',
    '/model/config.json',
    '/runtime/ort-wasm-simd.wasm',
  ])
    expect([path, (await fetch(url + path)).status]).toEqual([path, 200]);
});

test('a spoken note is heard', async () => {
  const wav = readFileSync(join(root, 'tests', 'clips', 'my-pace-is-five-point-three-feet.wav'));
  const reply = await fetch(`${url}/api/sound`, {
    method: 'POST',
    headers: { 'content-type': 'audio/wav' },
    body: wav,
  });
  expect(await reply.json()).toMatchObject({
    parts: [{ state: 'kept', reply: 'Pace 5.3 feet, give or take 0.16.' }],
  });
});

test('the server speaks', async () => {
  const reply = await fetch(`${url}/api/voice?say=${encodeURIComponent('Sixty-seven feet.')}`);
  expect([reply.status, reply.headers.get('content-type')]).toEqual([200, 'audio/wav']);
});
