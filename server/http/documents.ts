/**
 * The documents of `shared/docs/` as pages beside the page: read in the browser, also without a network, and printed.
 * They are our own texts, never a user's.
 */
import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Marked } from 'marked';

/** A document as Help lists it. */
interface BuiltDocument {
  /** Name of its file in the folder of the page. */
  readonly file: string;
  readonly title: string;
}

const isDocument = /^[a-z-]+\.md$/;
const fileOf = (name: string): string => `document-${name.replace(/\.md$/, '')}.html`;

/** Links to other documents lead to their pages; what is not beside the page is named, not linked. */
const reader = new Marked({
  renderer: {
    link({ href, tokens }) {
      const text = this.parser.parseInline(tokens);
      const [, name = '', part = ''] = /^([a-z-]+\.md)?(#[\w-]+)?$/.exec(href) ?? [];
      if (name === '' && part === '') return text;
      return `<a href="${name === '' ? '' : fileOf(name)}${part}">${text}</a>`;
    },
    codespan({ text }) {
      const code = `<code>${escaped(text)}</code>`;
      return isDocument.test(text) && text !== 'README.md' ? `<a href="${fileOf(text)}">${code}</a>` : code;
    },
    heading({ tokens, depth, text }) {
      const id = text
        .toLowerCase()
        .replace(/[^\w\s-]/g, '')
        .trim()
        .replace(/\s/g, '-');
      return `<h${depth} id="${id}">${this.parser.parseInline(tokens)}</h${depth}>\n`;
    },
    table(token) {
      const row = (cells: typeof token.header, cell: 'th' | 'td'): string =>
        `<tr>${cells.map(({ tokens }) => `<${cell}>${this.parser.parseInline(tokens)}</${cell}>`).join('')}</tr>`;
      const body = token.rows.map((cells) => row(cells, 'td')).join('\n');
      // A wide table moves by itself; the page never does.
      return `<div class="wide" tabindex="0"><table><thead>${row(token.header, 'th')}</thead><tbody>${body}</tbody></table></div>\n`;
    },
  },
});

/**
 * Writes a page for each document of `folder` into `target`, with `head` (the policy) in its head; gives them in the
 * order of their titles. None where the folder is not there.
 */
export async function writeDocuments(folder: string, target: string, head: string): Promise<BuiltDocument[]> {
  const names = (await readdir(folder).catch(() => [])).filter((name) => isDocument.test(name));
  const built = await Promise.all(
    names.map(async (name) => {
      const text = await readFile(join(folder, name), 'utf8');
      const title = /^# (.+)$/m.exec(text)?.[1] ?? name;
      await writeFile(join(target, fileOf(name)), pageOf(title, await reader.parse(text), head));
      return { file: fileOf(name), title };
    }),
  );
  return built.sort((a, b) => (a.title < b.title ? -1 : 1));
}

const escaped = (text: string): string => text.replace(/&/g, '&amp;').replace(/</g, '&lt;');

const pageOf = (title: string, body: string, head: string): string => `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    ${head}
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="color-scheme" content="light dark" />
    <title>${escaped(title)}</title>
    <link rel="icon" href="icon.svg" type="image/svg+xml" />
    <link rel="stylesheet" href="document.css" />
  </head>
  <body>
    <nav><a href="./">Back to the book</a></nav>
    <main>
${body}    </main>
  </body>
</html>
`;
