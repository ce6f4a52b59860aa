#!/usr/bin/env node
/**
 * The command `stemsay`: `serve` hands over to the server, as `npm start` does, everything else to the command line. In a
 * package these are built; in a checkout Node is first taught to run the TypeScript sources.
 */
import { existsSync } from 'node:fs';

const built = new URL('../built/', import.meta.url);
const fromPackage = existsSync(built);
if (!fromPackage) {
  const { register } = await import('tsx/esm/api');
  register();
}
const load = (module, source) => import(fromPackage ? new URL(module, built).href : source);

if (process.argv[2] === 'serve') {
  process.argv.splice(2, 1);
  await load('serve.js', './main.ts');
} else {
  const { main } = await load('command.js', './commands/main.ts');
  await main();
}
