/** The documents as pages beside the page: one for each, with links that lead somewhere, and nothing from elsewhere. */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeDocuments } from '../../server/http/documents.ts';
import { root } from '../../server/program/places.ts';

let target: string;
let built: Awaited<ReturnType<typeof writeDocuments>>;
const docs = join(root, 'shared', 'docs');
beforeAll(async () => {
  target = await mkdtemp(join(tmpdir(), 'documents-'));
  built = await writeDocuments(docs, target, '<meta name="policy" content="none" />');
});
afterAll(() => rm(target, { recursive: true }));

test('every document is a page with its title, the policy in its head, and a way back', async () => {
  const names = (await readdir(docs)).filter((name) => name.endsWith('.md'));
  expect(built.map(({ file }) => file).sort()).toEqual(
    names.map((name) => `document-${name.replace('.md', '.html')}`).sort(),
  );
  for (const { file, title } of built) {
    const page = await readFile(join(target, file), 'utf8');
    expect(page).toContain(`<title>${title.replace(/&/g, '&amp;')}</title>`);
    expect(page).toContain('<meta name="policy" content="none" />');
    expect(page).toContain('<a href="./">');
  }
});

test('links lead to other documents and their parts; nothing is fetched from elsewhere', async () => {
  for (const { file } of built) {
    const page = await readFile(join(target, file), 'utf8');
    for (const [, link = ''] of page.matchAll(/ (?:href|src)="([^"]*)"/g)) {
      const [name = '', part] = link.split('#');
      if (['./', 'icon.svg', 'document.css'].includes(name)) continue;
      expect(name === '' || built.some((one) => one.file === name), `${file} links to ${link}`).toBe(true);
      if (part === undefined) continue;
      const there = await readFile(join(target, name === '' ? file : name), 'utf8');
      expect(there, `${file} links to ${link}`).toContain(`id="${part}"`);
    }
    expect(page).not.toMatch(/<(script|img|iframe)/);
  }
});

test('signs of HTML in a text are letters, and a folder without documents has none', async () => {
  const methods = await readFile(join(target, 'document-methods.html'), 'utf8');
  expect(methods).toContain('<table>');
  expect(methods).not.toMatch(/<undefined|\[object/);
  expect(await writeDocuments(join(target, 'nowhere'), target, '')).toEqual([]);
});
