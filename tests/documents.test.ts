/**
 * Every exchange that a document shows is had anew: what is typed there is answered as it stands there. Every file that one
 * names or links to is there.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { createLanguage } from '../server/language/language.ts';
import { commandLine } from './server/terminal.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const documents = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(join(root, 'shared', 'docs')).map((name) => join('shared', 'docs', name)),
].filter((name) => name.endsWith('.md'));

interface Exchange {
  readonly document: string;
  readonly said: readonly string[];
  readonly answered: readonly string[];
}

/** Blocks that begin with `$ npx stemsay note`: a line that is indented answers the lines before it that are not. */
function exchangesOf(document: string): Exchange[] {
  const text = readFileSync(join(root, document), 'utf8');
  return [...text.matchAll(/```\w*\n\$ npx stemsay note\n([\s\S]*?)```/g)].map(([, block]) => {
    const lines = block!.split('\n').filter((line) => line.trim() !== '');
    return {
      document,
      said: lines.filter((line) => !line.startsWith(' ')),
      answered: lines.filter((line) => line.startsWith(' ')).map((line) => line.trim()),
    };
  });
}

const exchanges = documents.flatMap(exchangesOf);
const stemsay = commandLine(createLanguage());

describe('exchanges in the documents', () => {
  test('the README shows one', () => {
    expect(exchanges.some(({ document }) => document === 'README.md')).toBe(true);
  });

  test.each(exchanges)('in $document are answered as they stand there', async ({ said, answered }) => {
    const { lines } = await stemsay(['note'], `${said.join('\n')}\n`);
    expect(lines).toEqual(answered);
  });
});

describe('paths in the documents', () => {
  test.each([...documents, 'THIRD-PARTY.md'])('%s names no file that is not there', (document) => {
    const text = readFileSync(join(root, document), 'utf8');
    const paths = [...text.matchAll(/`((?:shared|grammar|server|client|tests)\/[\w./-]+)`/g)].map(
      ([, path]) => path!,
    );
    expect(paths.filter((path) => !existsSync(join(root, path)))).toEqual([]);
  });
});

/** What a heading is called in an address: as public code hosts make it. */
const anchorOf = (heading: string): string =>
  heading
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N} _-]/gu, '')
    .replaceAll(' ', '-');

const anchorsOf = (text: string): string[] =>
  [...text.matchAll(/^#+ (.+)$/gm)].map(([, heading]) => anchorOf(heading!));

/** Targets of links and pictures, `[words](target)` or `src="target"`, that lie in the project: without those of other hosts. */
const linksOf = (text: string): string[] =>
  [...text.replaceAll(/```[\s\S]*?```/g, '').matchAll(/\]\(([^)\s]+)\)|\bsrc="([^"]+)"/g)]
    .map(([, link, picture]) => (link ?? picture)!)
    .filter((target) => !/^[a-z]+:/.test(target));

describe('links in the documents', () => {
  const linking = [
    ...documents,
    'CHANGELOG.md',
    join('.github', 'CONTRIBUTING.md'),
    join('.github', 'SECURITY.md'),
  ];

  test.each(linking)('%s links to files, and to headings in them, that are there', (document) => {
    const text = readFileSync(join(root, document), 'utf8');
    const astray = linksOf(text).filter((target) => {
      const [path, anchor] = target.split('#') as [string, string?];
      const file = path === '' ? join(root, document) : join(root, dirname(document), path);
      if (!existsSync(file)) return true;
      return anchor !== undefined && !anchorsOf(readFileSync(file, 'utf8')).includes(anchor);
    });
    expect(astray).toEqual([]);
  });

  test('every page of the docs is found from the README', () => {
    const links = linksOf(readFileSync(join(root, 'README.md'), 'utf8'));
    const pages = documents.filter((name) => name.startsWith(join('shared', 'docs')));
    expect(pages.filter((page) => !links.includes(page))).toEqual([]);
  });
});

describe('figures in the README', () => {
  const readme = readFileSync(join(root, 'README.md'), 'utf8');
  const [, section] = /\n## Figures\n([\s\S]*?)\n## /.exec(readme)!;
  const hearing = readFileSync(join(root, 'shared', 'docs', 'hearing.md'), 'utf8');

  test.each(section!.match(/\b\d+\.\d\b/g)!)(
    '%s, with its decimal, stands in the page of hearing',
    (figure) => {
      expect(hearing).toMatch(new RegExp(`\\b${figure.replace('.', '\\.')}\\b`));
    },
  );
});
