/** Composition root of the command line: the only place where it meets the process. */

import { createLanguage } from '../language/language.ts';
import { createHearing } from '../speech/hear.ts';
import { run } from './cli.ts';

export async function main(): Promise<void> {
  // A reader that has seen enough ("| head") is no failure.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0);
    throw error;
  });
  process.exitCode = await run(process.argv.slice(2), {
    stdin: process.stdin,
    stdout: process.stdout,
    stderr: process.stderr,
    language: createLanguage,
    hearing: () => createHearing({ onTrouble: (sentence) => process.stderr.write(`${sentence}\n`) }),
    now: Date.now,
  });
}
