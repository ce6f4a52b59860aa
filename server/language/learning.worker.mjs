/** Where the thread that learns begins: threads do not take over how this program reads TypeScript. */
import { register } from 'tsx/esm/api';

register();
await import('./learning.thread.ts');
