/** `npm run build [-- FOLDER]`: the page as a folder for any HTTPS host, `site` where no other is named. */
import { join, resolve } from 'node:path';
import { buildSite } from './http/site.ts';
import { root } from './program/places.ts';

const [named] = process.argv.slice(2);
const target = named === undefined ? join(root, 'site') : resolve(named);
const built = await buildSite(root, target);
if (built.ok) console.log(`The page is in ${target}. Serve that folder over HTTPS; it needs nothing else.`);
else {
  console.error(built.error);
  process.exitCode = 1;
}
