/**
 * Modules of the program in processes and threads of their own: what may hang, die or fill memory does it in a process, what
 * only takes long in a thread.
 */
import { type ChildProcess, type ForkOptions, fork } from 'node:child_process';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import { fromSources, root } from './places.ts';

/** Each by the source that it starts with. Built modules of these names lie beside the one that starts them. */
export const processes = {
  hearing: 'server/speech/worker.ts',
  dictation: 'server/speech/writer.ts',
  voice: 'server/speech/voice.child.ts',
  lesson: 'server/speech/lesson.child.ts',
} as const satisfies Record<string, string>;

export const threads = {
  learning: 'server/language/learning.thread.ts',
  printing: 'server/desk/printing.thread.ts',
} as const satisfies Record<string, string>;

/** Starts a process; messages may hold typed arrays. */
export function startProcess(
  name: keyof typeof processes,
  args: readonly string[] = [],
  options: Pick<ForkOptions, 'stdio'> = {},
): ChildProcess {
  const module = fromSources ? join(root, processes[name]) : builtModule(name);
  return fork(module, args, { execArgv: loader(), serialization: 'advanced', ...options });
}

/** Starts a thread with its data. Threads do not take over how this program reads TypeScript, so a module before it does. */
export const startThread = (name: keyof typeof threads, workerData: unknown): Worker =>
  fromSources
    ? new Worker(join(root, 'server', 'program', 'thread.mjs'), {
        argv: [pathToFileURL(join(root, threads[name])).href],
        workerData,
        execArgv: [],
      })
    : new Worker(builtModule(name), { workerData });

const builtModule = (name: string): string => join(dirname(fileURLToPath(import.meta.url)), `${name}.js`);

/** What Node needs to run TypeScript; nothing for modules that are built. */
function loader(): string[] {
  if (!fromSources) return [];
  return ['--import', pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href];
}
