/** Modules of the program in processes of their own: what may hang, die or fill memory does it there. */
import { type ChildProcess, type ForkOptions, fork } from 'node:child_process';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { fromSources, root } from './places.ts';

/** Each by the source that it starts with. Built modules of these names lie beside the one that starts them. */
export const processes = {
  hearing: 'server/speech/worker.ts',
  dictation: 'server/speech/writer.ts',
  voice: 'server/speech/voice.child.ts',
} as const satisfies Record<string, string>;

/** Starts one; messages may hold typed arrays. */
export function startProcess(
  name: keyof typeof processes,
  args: readonly string[] = [],
  options: Pick<ForkOptions, 'stdio'> = {},
): ChildProcess {
  const module = fromSources
    ? join(root, processes[name])
    : join(dirname(fileURLToPath(import.meta.url)), `${name}.js`);
  return fork(module, args, { execArgv: loader(), serialization: 'advanced', ...options });
}

/** What Node needs to run TypeScript; nothing for modules that are built. */
function loader(): string[] {
  if (!fromSources) return [];
  return ['--import', pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href];
}
