/** The phones that may come in: what is kept of them, who is taken for one, and what damage does. */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, expect, test } from 'vitest';
import { Phones } from '../../../server/access/phones.ts';
import { fakeLanguage } from '../../support/fakes.ts';
import { commandLine } from '../terminal.ts';

const root = mkdtempSync(join(tmpdir(), 'phones-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
let made = 0;
let folder: string;
let phones: Phones;
let now: number;
beforeEach(() => {
  folder = join(root, String(made++), 'access', 'phones');
  now = Date.UTC(2026, 4, 1);
  phones = new Phones(folder, () => now);
});
const nameOf = (token: string | undefined) => {
  const found = phones.find(token);
  return typeof found === 'string' ? found : found.name;
};

test('a phone is known by its token, and by no part of it', () => {
  const { token } = phones.add('linnet');
  const [id, secret] = token.split('.') as [string, string];
  expect(nameOf(token)).toBe('linnet');
  for (const wrong of [id, `${id}.`, `.${secret}`, `${id}.${secret}x`, `${id}.${secret.slice(1)}`, secret])
    expect(nameOf(wrong)).toBe('wrong');
  expect(nameOf(undefined)).toBe('none');
  expect(nameOf('')).toBe('none');
});

test('one phone cannot come in as another', () => {
  const [one, two] = [phones.add('one').token, phones.add('two').token];
  expect(nameOf(`${one.split('.')[0]}.${two.split('.')[1]}`)).toBe('wrong');
});

test('the token is not in the file, which is readable by its owner only', () => {
  const { phone, token } = phones.add('linnet');
  const file = join(folder, `${phone.id}.json`);
  expect(readFileSync(file, 'utf8')).not.toContain(token.split('.')[1]);
  expect(statSync(file).mode & 0o777).toBe(0o600);
  expect(statSync(folder).mode & 0o777).toBe(0o700);
});

test('an id never names a file outside the folder', () => {
  mkdirSync(folder, { recursive: true });
  const { token } = phones.add('linnet');
  const secret = token.split('.')[1];
  writeFileSync(join(folder, '..', 'x.json'), readFileSync(join(folder, readdirSync(folder)[0]!)));
  for (const id of ['../x', '..%2fx', '/etc/passwd', `${'0'.repeat(15)}/`, '__proto__', '../phones/../x'])
    expect(nameOf(`${id}.${secret}`)).toBe('wrong');
});

test('a phone that is put out is out at once, and the others are not', () => {
  const [one, two] = [phones.add('one'), phones.add('two')];
  expect(phones.remove('ONE')).toBe('one');
  expect(nameOf(one.token)).toBe('wrong');
  expect(nameOf(two.token)).toBe('two');
  expect(phones.remove('one')).toBeNull();
  expect(phones.remove(two.phone.id)).toBe('two');
});

test.each([
  ['empty', ''],
  ['half written', '{"name":"linn'],
  ['of another shape', '{"name":"linnet","made":0,"token":"short"}'],
  ['full of other bytes', '\u0000\u0001\u0002'],
])('a file that is %s shuts out its own phone and no other', (_, text) => {
  const [one, two] = [phones.add('one'), phones.add('two')];
  writeFileSync(join(folder, `${one.phone.id}.json`), text);
  expect(nameOf(one.token)).toBe('damaged');
  expect(nameOf(two.token)).toBe('two');
  expect(phones.list()).toMatchObject({ phones: [{ name: 'two' }], damaged: [one.phone.id] });
  expect(phones.remove(one.phone.id)).toBe(one.phone.id);
  expect(phones.list().damaged).toEqual([]);
});

test('two phones of one name are told apart, and names are made fit for a list', () => {
  const names = ['Linnet', 'linnet', '  linnet\n\t', '', '\u202Ereversed\u0000', 'x'.repeat(500)];
  expect(names.map((name) => phones.add(name).phone.name)).toEqual([
    'Linnet',
    'linnet 2',
    'linnet 3',
    'Phone',
    'reversed',
    'x'.repeat(40),
  ]);
});

test('when a phone was last here is known to the minute', () => {
  const { token } = phones.add('linnet');
  now += 5 * 86_400_000;
  const found = phones.find(token);
  if (typeof found === 'string') throw new Error(found);
  phones.touch(found);
  expect(phones.list().phones[0]!.seen).toBe(now);
});

test('the command line lists phones and puts one out', async () => {
  const book = join(folder, '..', '..', 'wood.book');
  const stemsay = commandLine(fakeLanguage);
  expect((await stemsay(['phones', '--book', book])).out).toBe('No phone may come in.\n');
  const { token, phone } = phones.add("Linnet's phone");
  const listed = await stemsay(['phones', '--book', book]);
  expect(listed.out).toMatch(/^[0-9a-f]{16} {2}Linnet's phone, let in 2026-05-01, last here /);
  const shown = JSON.parse((await stemsay(['phones', '--json', '--book', book])).out);
  expect(shown.phones[0]).toMatchObject({ id: phone.id, name: "Linnet's phone" });
  expect(JSON.stringify(shown)).not.toContain('token');
  expect((await stemsay(['phones', 'out', 'nobody', '--book', book])).err).toMatch(
    /There is no phone "nobody"/,
  );
  expect((await stemsay(['phones', 'in', 'x', '--book', book])).status).toBe(2);
  expect((await stemsay(['phones', 'out', "linnet's", 'phone', '--book', book])).out).toMatch(/is put out/);
  expect(nameOf(token)).toBe('wrong');
});
