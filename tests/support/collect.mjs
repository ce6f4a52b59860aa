/** Loaded before a program under test: at SIGUSR2 it collects its garbage and prints what is left, bytes. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc');
process.on('SIGUSR2', () => {
  collect();
  collect();
  const { heapUsed, external } = process.memoryUsage();
  console.log(`in use: ${heapUsed + external}`);
});
