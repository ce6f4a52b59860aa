/** A module of the program in a process of its own: what may hang, die or fill memory does it there. */
import { type ChildProcess, type ForkOptions, fork } from 'node:child_process';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';

const typescript = pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href;

/**
 * Starts a TypeScript module; messages may hold typed arrays.
 */
export const forkModule = (
  module: URL,
  args: readonly string[] = [],
  options: Pick<ForkOptions, 'stdio'> = {},
): ChildProcess =>
  fork(module, args, { execArgv: ['--import', typescript], serialization: 'advanced', ...options });
