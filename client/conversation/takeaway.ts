/** Files made and read in the page itself, without a server: the report, the table, the map and the whole book. */
import { askTotals } from '../../shared/dialogue/ask-book.ts';
import type { Conversation } from './conversation.ts';

/** Loaded when first wanted: most mornings end without a file. */
const files = () => import('./files.ts');

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

/** What goes to the share sheet. A book goes as plain text, as browsers share no JSON; it is read back all the same. */
const sharedAs = {
  report: ['report', 'report.html', 'text/html'],
  book: ['json', 'book.txt', 'text/plain'],
} as const satisfies Record<string, readonly [kind: FileKind, name: string, type: string]>;

/** Whether this browser shares files with other programs of the device. */
export function canShare(): boolean {
  const probe = new File([''], 'book.txt', { type: 'text/plain' });
  return navigator.canShare?.({ files: [probe] }) ?? false;
}

/** Hands a file to the device's share sheet. Returns the sentence that says what became of it. */
export async function share(conversation: Conversation, what: keyof typeof sharedAs): Promise<string> {
  const [kind, name, type] = sharedAs[what];
  const file = new File([await contentOf(conversation, kind)], name, { type });
  try {
    await navigator.share({ files: [file] });
    return `${name} was handed on.`;
  } catch (cause) {
    if (cause instanceof DOMException && cause.name === 'AbortError') return 'Nothing was shared.';
    return 'This browser did not share it. Save it instead, with the buttons before.';
  }
}

/** The largest file that is read: a book of some hundred thousand entries. */
const mostBytes = 256 * 1024 * 1024;

/** Lets the person choose a file; null when none was chosen. */
export function pickFile(accept = ''): Promise<File | null> {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = accept;
  return new Promise((resolve) => {
    input.onchange = () => resolve(input.files?.[0] ?? null);
    input.oncancel = () => resolve(null);
    input.click();
  });
}

/** Takes in the whole book of a file, nothing twice. Returns the sentence that says what became of it. */
export async function bringBook(conversation: Conversation, file: File): Promise<string> {
  if (file.size > mostBytes) return `${file.name} is too large for a book: nothing was taken in.`;
  const { fromJson } = await files();
  const entries = fromJson(await file.text());
  if (!entries.ok) return `${file.name}: ${entries.error} Nothing was taken in.`;
  try {
    const added = await conversation.bring(entries.value);
    return `${file.name}: ${added} ${added === 1 ? 'entry' : 'entries'} taken in, ${entries.value.length - added} were here already.`;
  } catch {
    return `${file.name} could not be kept: this browser has no room for it. Nothing was taken in.`;
  }
}

async function contentOf(conversation: Conversation, kind: FileKind): Promise<string> {
  const { book } = conversation;
  if (kind === 'report') {
    const { reportOf, reportPage } = await files();
    return reportPage(reportOf({ book, answers: askTotals(conversation.session), made: conversation.now() }));
  }
  if (kind === 'json') return (await files()).toJson([...book.entries]);
  const { landFeatures, toCsv, toGeoJson, woodOf } = await files();
  if (kind === 'csv') return toCsv(woodOf(book));
  return `${JSON.stringify(toGeoJson(woodOf(book), landFeatures(book)))}\n`;
}
