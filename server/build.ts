/** `npm run build`: builds the page without serving it. */
import { fileURLToPath } from 'node:url';
import { buildPage } from './http/page-build.ts';

const built = await buildPage(fileURLToPath(new URL('..', import.meta.url)));
if (!built.ok) {
  console.error(built.error);
  process.exitCode = 1;
}
