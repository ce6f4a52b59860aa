#!/usr/bin/env node
/** The command `stemsay`: lets Node run the TypeScript sources, then hands over to `cli.ts`. */
import { register } from 'tsx/esm/api';

register();
const { main } = await import('./commands/main.ts');
await main();
