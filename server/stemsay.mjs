#!/usr/bin/env node
/**
 * The command `stemsay`: lets Node run the TypeScript sources, then hands over: `serve` to the server, as `npm start`
 * does, everything else to the command line.
 */
import { register } from 'tsx/esm/api';

register();
if (process.argv[2] === 'serve') {
  process.argv.splice(2, 1);
  await import('./main.ts');
} else {
  const { main } = await import('./commands/main.ts');
  await main();
}
