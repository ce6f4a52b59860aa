/** Files made in the page itself, without a server: the report, the table, the map and the whole book. */
import { totalTopics } from '../../shared/dialogue/asking.ts';
import type { Conversation } from './conversation.ts';

export type FileKind = 'report' | 'csv' | 'geojson' | 'json';

const names: Readonly<Record<FileKind, readonly [name: string, type: string]>> = {
  report: ['report.html', 'text/html'],
  csv: ['trees.csv', 'text/csv'],
  geojson: ['trees.geojson', 'application/geo+json'],
  json: ['book.json', 'application/json'],
};

/** Makes a file and hands it to the browser's downloads. Returns the sentence that says so. */
export async function takeAway(conversation: Conversation, kind: FileKind): Promise<string> {
  const [name, type] = names[kind];
  const url = URL.createObjectURL(new Blob([await contentOf(conversation, kind)], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  return `${name} is with your downloads.`;
}

async function contentOf(conversation: Conversation, kind: FileKind): Promise<string> {
  const { book } = conversation;
  // Loaded when first wanted: most mornings end without a file.
  if (kind === 'report') {
    const [{ reportOf }, { reportPage }] = await Promise.all([
      import('../../shared/report/page/report.ts'),
      import('../../shared/report/page/page.ts'),
    ]);
    const answers = totalTopics.map((about) => ({ about, ...conversation.ask({ kind: 'ask', about }) }));
    return reportPage(reportOf({ book, answers, made: Date.now() }));
  }
  if (kind === 'json') return (await import('../../shared/report/files/entries.ts')).toJson(book.entries);
  const wood = {
    trees: [...book.trees()],
    plots: [...book.plots()],
    stands: [...book.stands.values()],
    strata: [...book.strata.values()],
    entries: book.entries,
  };
  if (kind === 'csv') return (await import('../../shared/report/files/tables.ts')).toCsv(wood);
  return `${JSON.stringify((await import('../../shared/report/files/geojson.ts')).toGeoJson(wood))}\n`;
}
