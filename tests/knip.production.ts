/**
 * `knip --production -c tests/knip.production.ts`: the program without its tests, so that what only tests use is found.
 * Entries and files are those of package.json; an exclamation mark makes them the program's.
 */
import { readFileSync } from 'node:fs';

const { knip, scripts } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  readonly knip: { readonly entry: readonly string[]; readonly project: readonly string[] };
  readonly scripts: Readonly<Record<string, string>>;
};
const started = Object.values(scripts).flatMap((script) => script.match(/\bserver\/[\w/.]+\.ts\b/g) ?? []);
const ours = (patterns: readonly string[]) =>
  patterns.filter((pattern) => !pattern.startsWith('tests/')).map((pattern) => `${pattern}!`);

export default {
  entry: [...ours(knip.entry), ...ours(started), 'server/stemsay.mjs!'],
  project: ours(knip.project),
  /** What its own file uses is used, also where it is exported for a test. */
  ignoreExportsUsedInFile: true,
  include: ['files', 'exports', 'types', 'duplicates'],
};
