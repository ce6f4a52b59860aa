/** The command line without a process: what it is told, what it writes, and a folder of files that goes with the test. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { afterAll } from 'vitest';
import { run } from '../../server/commands/cli.ts';
import type { Language } from '../../server/language/language.ts';
import type { Hearing } from '../../server/speech/hear.ts';
import type { Answer } from '../../shared/dialogue/types.ts';
import { answerSchema } from '../../shared/wire.ts';
import { noon } from '../support/fakes.ts';

export interface Ran {
  /** Exit status. */
  readonly status: number;
  readonly out: string;
  readonly err: string;
  /** Standard output by lines. */
  readonly lines: readonly string[];
  /** What was answered with --json. */
  answers(): Answer[];
}

/** Runs commands with a language and an ear; one that is not given must not be asked for. */
export function commandLine(language: Language, hearing?: Hearing) {
  return async (args: readonly string[], stdin = ''): Promise<Ran> => {
    const said = { out: '', err: '' };
    const into = (name: 'out' | 'err') =>
      new Writable({
        write(chunk, _, done) {
          said[name] += chunk;
          done();
        },
      });
    let clock = noon();
    const status = await run(args, {
      stdin: Readable.from([Buffer.from(stdin)]),
      stdout: into('out'),
      stderr: into('err'),
      language: () => language,
      hearing: () => {
        if (!hearing) throw new Error('nothing was to be heard');
        return hearing;
      },
      now: () => ++clock,
    });
    const lines = said.out.split('\n').slice(0, -1);
    return {
      status,
      ...said,
      lines,
      answers: () => lines.map((line) => answerSchema.parse(JSON.parse(line))),
    };
  };
}

/** A folder that is removed when the tests of the file have run. */
export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'stemsay-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
