/** Composition root of the command line: the only place where it meets the process. */

import { shortAnswer } from './usage.ts';

export async function main(): Promise<void> {
  // A reader that has seen enough ("| head") is no failure.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0);
    throw error;
  });
  const argv = process.argv.slice(2);
  const short = shortAnswer(argv);
  if (short !== null) {
    process.stdout.write(short);
    return;
  }
  const [{ createLanguage }, { createHearing }, { run }] = await Promise.all([
    import('../language/language.ts'),
    import('../speech/hear.ts'),
    import('./cli.ts'),
  ]);
  process.exitCode = await run(argv, {
    stdin: process.stdin,
    stdout: process.stdout,
    stderr: process.stderr,
    language: createLanguage,
    hearing: () => createHearing({ onTrouble: (sentence) => process.stderr.write(`${sentence}\n`) }),
    now: Date.now,
  });
}
