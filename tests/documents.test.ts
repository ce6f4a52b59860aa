/** Every exchange that a document shows is had anew: what is typed there is answered as it stands there. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
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
