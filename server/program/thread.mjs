/** Where a thread of the sources begins: it learns to read TypeScript, then runs the module that it was started for. */
import { register } from 'tsx/esm/api';

register();
await import(process.argv[2]);
